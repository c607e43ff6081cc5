package kit

import "math"

// day is the length of a day, minutes.
const day = 24 * 60.0

// Hours are the hours of work of every working day. The zero value knows no end
// of day: work goes on.
type Hours struct {
	// Open and Close are minutes after midnight; a Close of 0 means that work
	// does not end.
	Open, Close float64
	// Works tells whether a day is worked, counted from that of the shift's
	// Start as 0; nil: every day is.
	Works func(day int) bool
}

// maxDaysOff bounds the days looked at for the next one that is worked.
const maxDaysOff = 366

// End reports whether work ends for the day.
func (h Hours) End() bool { return h.Close > h.Open }

// longest is the longest piece of work a day has room for, minutes.
func (h Hours) longest() float64 {
	if !h.End() {
		return math.Inf(1)
	}
	return h.Close - h.Open
}

// fit is the first moment at or after a given one at which a piece of work can
// begin and still be done the same day. What is longer than a day begins when a
// day does, and runs over.
func (h Hours) fit(at, minutes float64) float64 {
	if !h.End() {
		return at
	}
	minutes = min(minutes, h.longest())
	n := math.Floor(at / day)
	for range maxDaysOff {
		at = max(at, float64(n*day)+h.Open)
		if (h.Works == nil || h.Works(int(n))) && at+minutes <= float64(n*day)+h.Close+1e-9 {
			return at
		}
		n++
	}
	return at
}

// over reports whether a moment lies behind the end of the day on which work
// began.
func (h Hours) over(began, ended float64) bool {
	return h.End() && ended > float64(math.Floor(began/day)*day)+h.Close+1e-9
}
