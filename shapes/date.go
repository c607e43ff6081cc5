package shapes

import (
	"fmt"
	"time"
)

// A Date is a day of the calendar, written 2027-03-01 (ISO 8601); empty where
// it is not known. Dates compare as texts do.
type Date string

// ParseDate reads a date.
func ParseDate(text string) (Date, error) {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return "", fmt.Errorf("%q is no date: write year, month and day as 2027-03-01", text)
	}
	return Date(text), nil
}

// ParseClock reads a time of day, 07:30, and returns minutes after midnight.
func ParseClock(text string) (float64, error) {
	t, err := time.Parse("15:04", text)
	if err != nil {
		return 0, fmt.Errorf("%q is no time of day: write hours and minutes as 07:30", text)
	}
	return float64(t.Hour()*60 + t.Minute()), nil
}
