package polish

import (
	"math"

	"github.com/paulmach/orb"
)

// snap replaces coordinates that differ from a short decimal number by rounding
// alone by that number, so that a layout of round measures comes out round,
// provided that nothing overlaps more or reaches further for it.
func (l *layout) snap() {
	unit := l.decimal()
	before := append([]orb.Point(nil), l.at...)
	overlap, length := l.overlap(), l.length()
	changed := false
	for i := range l.pieces {
		if l.fixed[i] {
			continue
		}
		for k := range 2 {
			v := l.at[i][k]
			if round := roundTo(v, unit); round != v && math.Abs(round-v) <= l.tolerance()/10 {
				l.at[i][k] = round
				changed = true
			}
		}
	}
	if changed && (l.overlap() > max(overlap, l.tolerance()/10) || l.length() > length) {
		copy(l.at, before)
	}
}

// decimal returns a power of ten of about a hundred-millionth of the
// coordinates' size: its exponent, negative for fractions.
func (l *layout) decimal() int {
	exponent := 0
	for s := l.scale * 1e-8; s >= 1; s /= 10 {
		exponent++
	}
	for s := l.scale * 1e-8; s < 0.1 && exponent > -15; s *= 10 {
		exponent--
	}
	return exponent
}

// roundTo rounds v to a multiple of a power of ten. The result is the number
// nearest to that multiple, as written in decimals.
func roundTo(v float64, exponent int) float64 {
	power := 1.0
	for range max(exponent, -exponent) {
		power *= 10
	}
	if exponent < 0 {
		return math.Round(v*power) / power
	}
	return math.Round(v/power) * power
}
