package paper

import (
	"math"
	"strconv"
)

// Degrees writes an angle as the trade does: +45°, −30°, 0°, 90°.
func Degrees(v float64) string {
	r := math.Round(v*10) / 10
	s := strconv.FormatFloat(math.Abs(r), 'f', -1, 64) + "°"
	switch {
	case r < 0:
		return "−" + s
	case r > 0 && r != 90:
		return "+" + s
	}
	return s
}
