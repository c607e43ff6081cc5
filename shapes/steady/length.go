package steady

import "math"

// Squares of lengths between these neither overflow nor lose bits.
const (
	shortest = 0x1p-480
	longest  = 0x1p+480
)

// Hypot returns the length of (x, y).
func Hypot(x, y float64) float64 {
	x, y = math.Abs(x), math.Abs(y)
	if math.IsInf(x, 1) || math.IsInf(y, 1) {
		return math.Inf(1)
	}
	if x < y {
		x, y = y, x
	}
	switch {
	case x == 0:
		return 0
	case x > longest:
		return Hypot(x*0x1p-600, y*0x1p-600) * 0x1p+600
	case x < shortest:
		return Hypot(x*0x1p+600, y*0x1p+600) * 0x1p-600
	}
	return math.Sqrt(float64(x*x) + float64(y*y))
}
