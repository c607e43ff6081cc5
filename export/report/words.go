package report

import (
	"math"
	"strconv"
	"strings"
)

// thin is the space that groups digits and stands before units; it does not
// break.
const thin = "\u202f"

// fixed writes v with a number of decimals and its thousands grouped.
func fixed(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, rest := s, ""
	if i := strings.IndexByte(s, '.'); i >= 0 {
		whole, rest = s[:i], s[i:]
	}
	var b strings.Builder
	if v < 0 && strings.Trim(s, "0.") != "" {
		b.WriteString("−")
	}
	for i, r := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 && len(whole) > 4 {
			b.WriteString(thin)
		}
		b.WriteRune(r)
	}
	b.WriteString(rest)
	return b.String()
}

func metres(mm float64) string        { return fixed(mm/1e3, 2) }
func squareMetres(mm2 float64) string { return fixed(mm2/1e6, 2) }
func percent(share float64) string    { return fixed(100*share, 1) + thin + "%" }

// degrees writes an angle with no more decimals than it needs.
func degrees(v float64) string {
	s := strconv.FormatFloat(math.Round(math.Abs(v)*100)/100, 'f', -1, 64)
	if v < 0 && s != "0" {
		return "−" + s + "°"
	}
	return s + "°"
}

// count writes a number with its noun.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fixed(float64(n), 0) + " " + many
}

// shares rounds amounts to a unit so that the rounded amounts add up to the
// rounded total: what rounding leaves over goes to the amounts that lost most.
// Amounts of 0 stay 0, and what is less than a thousandth of a unit is 0.
func shares(total, unit float64, amounts []float64) []float64 {
	out := make([]float64, len(amounts))
	lost := make([]float64, len(amounts))
	left := math.Round(total / unit)
	for i, a := range amounts {
		if math.Abs(a) < unit/1000 {
			continue
		}
		n := math.Floor(a/unit + 1e-9)
		lost[i] = a/unit - n
		out[i] = n * unit
		left -= n
	}
	for ; left >= 1; left-- {
		best := -1
		for i, a := range amounts {
			if a > 0 && (best < 0 || lost[i] > lost[best]) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		out[best] += unit
		lost[best]--
	}
	return out
}
