package polish

import (
	"math"

	"github.com/paulmach/orb"
)

// Products are rounded before they are added, explicitly, so that no machine
// fuses them and decides differently.

func dot(a, b orb.Point) float64 { return float64(a[0]*b[0]) + float64(a[1]*b[1]) }

func minus(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }

func plus(a, b orb.Point) orb.Point { return orb.Point{a[0] + b[0], a[1] + b[1]} }

func scaled(a orb.Point, by float64) orb.Point { return orb.Point{a[0] * by, a[1] * by} }

func norm(a orb.Point) float64 { return math.Sqrt(dot(a, a)) }

// unit returns a at length 1; false where it has no direction.
func unit(a orb.Point) (orb.Point, bool) {
	// Scaled first, lest the square of a tiny or huge length be lost.
	size := max(math.Abs(a[0]), math.Abs(a[1]))
	if size == 0 {
		return orb.Point{}, false
	}
	a = orb.Point{a[0] / size, a[1] / size}
	length := norm(a)
	return orb.Point{a[0] / length, a[1] / length}, true
}
