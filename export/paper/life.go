package paper

import (
	"fmt"

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

// EndWords says why a wet set ends where the clock is not the reason; empty
// otherwise.
func EndWords(set *kit.Set) string {
	switch {
	case set.End == kit.EndThickness:
		return "then let it cure: thickness limit"
	case set.End != kit.EndStop:
		return ""
	case set.Reason != "":
		return "then a planned stop: " + set.Reason
	}
	return "then a planned stop"
}
