package toolpath_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
)

// Every frame puts its corner at the offset, keeps distances, and turns
// directions as it turns points; it is left-handed just where it mirrors.
func TestFrames(t *testing.T) {
	rec := cutcase.Small() // 1900 by 1270
	corners := map[toolpath.Corner]orb.Point{
		toolpath.LowerLeft: {0, 0}, toolpath.LowerRight: {1900, 0}, toolpath.UpperLeft: {0, 1270}, toolpath.UpperRight: {1900, 1270},
	}
	for origin, at := range corners {
		for _, swap := range []bool{false, true} {
			m := toolpath.Machine{Origin: origin, SwapAxes: swap, OffsetX: 7, OffsetY: -3}
			p := plan(t, rec, m)
			f := p.Frame(0)
			assert.Equal(t, orb.Point{7, -3}, f.Point(at), "%s %v", origin, swap)
			a, b := orb.Point{100, 200}, orb.Point{400, 350}
			u, v := f.Point(a), f.Point(b)
			assert.InDelta(t, math.Hypot(300, 150), math.Hypot(v[0]-u[0], v[1]-u[1]), 1e-9)
			heading := math.Atan2(150, 300) * 180 / math.Pi
			assert.InDelta(t, math.Atan2(v[1]-u[1], v[0]-u[0])*180/math.Pi, f.Heading(heading), 1e-9)
			c := f.Point(orb.Point{100, 300}) // to the left of a-b
			left := (v[0]-u[0])*(c[1]-u[1])-(v[1]-u[1])*(c[0]-u[0]) > 0
			assert.Equal(t, !left, f.LeftHanded())
			assert.Equal(t, f.LeftHanded(), strings.Contains(strings.Join(p.Lines(), "\n"), "left-handed"))
			for deg := -180.0; deg <= 180; deg += 15 {
				r := f.TextAngle(deg)
				assert.True(t, r > -90 && r <= 90)
				turn := math.Abs(math.Remainder(r-f.Heading(deg), 180))
				assert.InDelta(t, 0, turn, 1e-9)
			}
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, tc := range []struct {
		v    float64
		n    int
		want string
	}{{0, 3, "0.000"}, {-0.0001, 3, "0.000"}, {-0.0006, 3, "-0.001"}, {1.5, 0, "2"}, {-0.4, 0, "0"}, {12.34567, 4, "12.3457"}} {
		assert.Equal(t, tc.want, toolpath.Decimal(tc.v, tc.n))
	}
}
