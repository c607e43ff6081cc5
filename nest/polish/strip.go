package polish

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// ErrInput is wrapped by the errors for strips, positions and options that make
// no sense, among them pieces that are wider than the strip.
var ErrInput = errors.New("cannot polish")

// A Strip is where the pieces lie: x from 0 along it, y from 0 to Width across
// it. Lengths are in any one unit.
type Strip struct {
	Width float64
	// MaxLength is the greatest x a piece may reach; 0 means no limit. A layout
	// that is longer to begin with may be shortened, but not lengthened.
	MaxLength float64
	// Obstacles are rectangles that no piece may enter; pieces may touch them.
	Obstacles []orb.Bound
}

func (s Strip) check() error {
	if !(s.Width > 0 && s.Width <= largestCoordinate) {
		return fmt.Errorf("%w: strip width %v", ErrInput, s.Width)
	}
	if !(s.MaxLength >= 0 && s.MaxLength <= largestCoordinate) {
		return fmt.Errorf("%w: greatest length %v", ErrInput, s.MaxLength)
	}
	for i, o := range s.Obstacles {
		if !finite(o.Min) || !finite(o.Max) {
			return fmt.Errorf("%w: obstacle %d is %v", ErrInput, i, o)
		}
	}
	return nil
}

// finite reports whether a point's coordinates are numbers of a usable size.
func finite(p orb.Point) bool {
	return math.Abs(p[0]) <= largestCoordinate && math.Abs(p[1]) <= largestCoordinate
}
