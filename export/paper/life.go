package paper

import (
	"fmt"
	"math"
	"strconv"

	"plyroom/nest/kit"
)

// Hours writes minutes as hours with one decimal, rounded down so that nothing
// is promised: 19.9 h.
func Hours(minutes float64) string {
	h := minutes / 60
	tenths := int(h * 10)
	if h < 0 {
		return fmt.Sprintf("−%.1f h", -h)
	}
	return fmt.Sprintf("%d.%d h", tenths/10, tenths%10)
}

// LifeWords says in a few words what prepreg has left: "20.0 h out-life left,
// expires 2027-03-01"; empty for what has no out-life.
func LifeWords(l *kit.Life) string {
	if l == nil {
		return ""
	}
	s := Hours(l.Left) + " out-life left"
	if l.Left <= 0 {
		s = "OUT-LIFE USED UP"
	}
	if l.Expires != "" {
		s += ", expires " + string(l.Expires)
	}
	return s
}

// EndWords says why a wet set of a plan ends where the clock is not the reason,
// and whether the time of cure is counted; empty otherwise.
func EndWords(p *kit.Plan, set *kit.Set) string {
	s := ""
	switch {
	case set.End == kit.EndThickness:
		s = "then let it cure: thickness limit"
	case set.End != kit.EndStop:
		return ""
	case set.Reason != "":
		s = "then a planned stop: " + set.Reason
	default:
		s = "then a planned stop"
	}
	return s + ", " + CureWords(p.Cure)
}

// CureWords says in three words or so whether the time of cure at a stop is
// counted, and how long it is.
func CureWords(minutes float64) string {
	if minutes <= 0 {
		return "cure not included"
	}
	return fmt.Sprintf("cure %s included", Span(minutes))
}

// Span writes a length of time in minutes, or in hours where it is long: 45
// min, 3 h, 2.5 h.
func Span(minutes float64) string {
	if minutes < 90 {
		return fmt.Sprintf("%.0f min", minutes)
	}
	return strconv.FormatFloat(math.Round(minutes/6)/10, 'f', -1, 64) + " h"
}
