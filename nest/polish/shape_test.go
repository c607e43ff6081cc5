package polish

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// rawArea returns the area of an outline's exterior less its holes.
func (o outline) rawArea() float64 {
	area := math.Abs(ringArea(o.exterior))
	for _, h := range o.holes {
		area -= math.Abs(ringArea(h))
	}
	return area
}

func TestShapePartsCoverTheOutline(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		size := []float64{1, 100, 1e6}[rng.IntN(3)]
		o := randomValid(rng, size)
		s, err := NewShape(o.exterior, o.holes)
		require.NoError(t, err)
		area := 0.0
		for _, p := range s.parts {
			n := len(p.pts)
			require.GreaterOrEqual(t, n, 3)
			for i, v := range p.pts {
				require.Equal(t, 1, orientation(v, p.pts[(i+1)%n], p.pts[(i+2)%n]), "part %v is not convex at %d", p.pts, i)
			}
			part := outline{exterior: p.pts}
			a := part.rawArea()
			area += a
			// Each part lies within the outline.
			require.InDelta(t, a, intersectionArea(t, o.outside(orb.Point{}), part.outside(orb.Point{}), size), 1e-9*size*size)
		}
		require.InDelta(t, o.rawArea(), area, 1e-9*size*size)
	})
}

func TestShapeFewParts(t *testing.T) {
	for _, c := range []struct {
		name  string
		ring  orb.Ring
		holes []orb.Ring
		parts int
	}{
		{"square", orb.Ring{{0, 0}, {2, 0}, {2, 2}, {0, 2}}, nil, 1},
		{"closed clockwise square with a vertex in an edge", orb.Ring{{0, 0}, {0, 2}, {2, 2}, {2, 1}, {2, 0}, {0, 0}}, nil, 1},
		{"repeated vertices and a spike", orb.Ring{{0, 0}, {2, 0}, {2, 0}, {2, 2}, {2, 5}, {2, 2}, {0, 2}, {0, 0}}, nil, 1},
		{"L", orb.Ring{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}, nil, 2},
		{"frame", orb.Ring{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, []orb.Ring{{{1, 1}, {1, 3}, {3, 3}, {3, 1}}}, 4},
		{"hole of no area", orb.Ring{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, []orb.Ring{{{1, 1}, {3, 3}, {2, 2}}}, 1},
		{"two holes", orb.Ring{{0, 0}, {9, 0}, {9, 4}, {0, 4}}, []orb.Ring{{{1, 1}, {1, 3}, {3, 3}, {3, 1}}, {{5, 1}, {7, 1}, {7, 3}, {5, 3}}}, 8},
	} {
		s, err := NewShape(c.ring, c.holes)
		require.NoError(t, err, c.name)
		require.LessOrEqual(t, len(s.parts), c.parts, c.name)
	}
}

func TestShapeErrors(t *testing.T) {
	for name, ring := range map[string]orb.Ring{
		"empty":     {},
		"point":     {{1, 1}, {1, 1}, {1, 1}},
		"line":      {{0, 0}, {1, 1}, {3, 3}, {2, 2}},
		"NaN":       {{0, 0}, {1, math.NaN()}, {2, 2}},
		"infinite":  {{0, 0}, {1, math.Inf(1)}, {2, 2}},
		"too large": {{0, 0}, {1e16, 0}, {2, 2}},
		"bow tie":   {{0, 0}, {2, 2}, {2, 0}, {0, 2}},
	} {
		_, err := NewShape(ring, nil)
		require.ErrorIs(t, err, ErrShape, name)
	}
	_, err := NewShape(orb.Ring{{0, 0}, {2, 0}, {2, 2}}, []orb.Ring{{{5, 5}, {6, 5}, {6, 6}}})
	require.ErrorIs(t, err, ErrShape, "hole outside")
}

func TestOrientationIsExact(t *testing.T) {
	a, b := orb.Point{0.1, 0.1}, orb.Point{0.3, 0.3}
	for k := -8; k <= 8; k++ {
		c := orb.Point{0.2, 0.2}
		for range max(k, -k) {
			c[1] = math.Nextafter(c[1], math.Inf(k))
		}
		require.Equal(t, min(max(k, -1), 1), orientation(a, b, c), "%d ulp", k)
		require.Equal(t, -orientation(a, b, c), orientation(b, a, c))
		require.Equal(t, orientation(a, b, c), orientation(c, a, b))
	}
}

func TestSumMatchesOutsideDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		a, err := NewShape(randomValid(rng, 10).exterior, nil)
		require.NoError(t, err)
		b, err := NewShape(randomValid(rng, 10).exterior, nil)
		require.NoError(t, err)
		p, q := &a.parts[rng.IntN(len(a.parts))], &b.parts[rng.IntN(len(b.parts))]
		s := newSum(p, q)
		require.Equal(t, len(p.pts)+len(q.pts), len(s.normal))
		r := orb.Point{rng.Float64()*24 - 12, rng.Float64()*24 - 12}
		pa, pb := outline{exterior: p.pts}.outside(orb.Point{}), outline{exterior: q.pts}.outside(r)
		apart, edge := s.separation(r)
		distance, _ := geom.Distance(pa.AsGeometry(), pb.AsGeometry())
		if apart > 0 {
			require.LessOrEqual(t, apart, distance+1e-9)
			// With a gap wider than the distance, the distance itself is found.
			require.InDelta(t, distance, s.distance(r, 100), 1e-9)
		} else {
			require.InDelta(t, 0, distance, 1e-9)
			// Moving out square to the edge just takes the parts apart.
			out := plus(r, scaled(s.normal[edge], -apart))
			pb = outline{exterior: q.pts}.outside(out)
			require.LessOrEqual(t, intersectionArea(t, pa, pb, 10), 1e-9)
			less := plus(r, scaled(s.normal[edge], -apart*0.99-1e-7))
			if apart < -1e-3 {
				d, _ := s.separation(less)
				require.Negative(t, d)
			}
		}
		// Each vertex ends its edge and starts the next.
		for k, v := range s.vertex {
			require.InDelta(t, s.support[k], dot(s.normal[k], v), 1e-9)
			next := (k + 1) % len(s.vertex)
			require.InDelta(t, s.support[next], dot(s.normal[next], v), 1e-9)
		}
	})
}

func FuzzNewShape(f *testing.F) {
	f.Add([]byte{0, 0, 4, 0, 4, 4, 0, 4}, uint8(4), uint8(0))
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 2, 2, 2, 4, 4, 4, 4, 2}, uint8(4), uint8(1))
	f.Add([]byte{0, 0, 2, 2, 2, 0, 0, 2}, uint8(4), uint8(2))
	f.Add([]byte{0, 0, 1, 0, 2, 0, 2, 0, 3, 1, 0, 1}, uint8(6), uint8(3))
	f.Fuzz(func(t *testing.T, data []byte, split, how uint8) {
		if len(data) > 200 {
			return
		}
		// Bytes become coordinates on a small grid, so that points repeat and
		// lie on common lines; some are then moved by next to nothing.
		unit := []float64{1, 1e-9, 1e5, 0.1}[how%4]
		var pts []orb.Point
		for i := 0; i+1 < len(data); i += 2 {
			p := orb.Point{float64(data[i]%16) * unit, float64(data[i+1]%16) * unit}
			if how&4 != 0 && data[i]&16 != 0 {
				p[0] = math.Nextafter(p[0], 100)
			}
			if how&8 != 0 && data[i]&32 != 0 {
				p[1] += 1e-9
			}
			pts = append(pts, p)
		}
		at := min(int(split), len(pts))
		var holes []orb.Ring
		if at < len(pts) {
			holes = append(holes, orb.Ring(pts[at:]))
		}
		s, err := NewShape(orb.Ring(pts[:at]), holes)
		if err != nil {
			require.ErrorIs(t, err, ErrShape)
			return
		}
		for _, p := range s.parts {
			require.GreaterOrEqual(t, len(p.pts), 3)
			for i, v := range p.pts {
				require.Equal(t, 1, orientation(v, p.pts[(i+1)%len(p.pts)], p.pts[(i+2)%len(p.pts)]))
			}
		}
	})
}

func TestOrientationStagesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		unit := []float64{1, 0.1, 1e-9, 1e6}[rng.IntN(4)]
		point := func() orb.Point {
			p := orb.Point{float64(rng.IntN(9)) * unit, float64(rng.IntN(9)) * unit}
			for k := range 2 {
				for range rng.IntN(3) {
					p[k] = math.Nextafter(p[k], math.Inf(1-2*rng.IntN(2)))
				}
			}
			return p
		}
		a, b, c := point(), point(), point()
		want := exactOrientation(a, b, c)
		require.Equal(t, want, orientation(a, b, c))
		require.Equal(t, want, closeOrientation(a, b, c))
		require.Equal(t, want, orientation(b, c, a))
		require.Equal(t, -want, orientation(b, a, c))
	})
}

// Holes anywhere within bays, teeth and waves: bridges to them must not cross
// what lies between.
func TestShapeWithHolesAnywhere(t *testing.T) {
	holed := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		const size = 100.0
		var o outline
		switch rng.IntN(3) {
		case 0:
			o.exterior = wavyRing(10 + rng.IntN(40))
		case 1:
			// A spiral corridor.
			o.exterior = orb.Ring{{0, 0}, {100, 0}, {100, 100}, {20, 100}, {20, 40}, {60, 40}, {60, 60}, {40, 60},
				{40, 80}, {80, 80}, {80, 20}, {0, 20}}
		case 2:
			for o = randomValid(rng, size); len(o.holes) > 0; {
				o = randomValid(rng, size)
			}
		}
		for range 8 {
			c := orb.Point{rng.Float64()*200 - 100, rng.Float64()*200 - 100}
			if rng.IntN(2) == 0 {
				c = orb.Point{math.Round(c[0]/10) * 10, math.Round(c[1]/10) * 10}
			}
			var hole orb.Ring
			n := 3 + rng.IntN(4)
			for k := range n {
				sin, cos := math.Sincos(2 * math.Pi * (float64(k) + rng.Float64()/2) / float64(n))
				hole = append(hole, plus(c, orb.Point{8 * cos, 8 * sin}))
			}
			more := outline{o.exterior, append(append([]orb.Ring(nil), o.holes...), hole)}
			if more.outside(orb.Point{}).Validate() == nil {
				o = more
				holed++
			}
		}
		s, err := NewShape(o.exterior, o.holes)
		require.NoError(t, err)
		area := 0.0
		for _, p := range s.parts {
			part := outline{exterior: p.pts}
			area += part.rawArea()
			require.InDelta(t, part.rawArea(), intersectionArea(t, o.outside(orb.Point{}), part.outside(orb.Point{}), size), 1e-6)
		}
		require.InDelta(t, o.rawArea(), area, 1e-6)
	})
	require.Positive(t, holed)
}

// Outlines that touch themselves, or their holes, cross themselves by rounding
// once they are turned.
func TestShapeThatTouchesItself(t *testing.T) {
	for name, o := range map[string]outline{
		"hole on an edge":  {orb.Ring{{0, 0}, {9, 0}, {9, 7}, {0, 7}}, []orb.Ring{{{0, 3}, {2, 2}, {2, 4}}}},
		"notch to an edge": {orb.Ring{{0, 0}, {9, 0}, {9, 7}, {5, 7}, {4, 0}, {3, 7}, {0, 7}}, nil},
		"bridge to a hole": {orb.Ring{{0, 0}, {9, 0}, {9, 7}, {0, 7}, {0, 3.3}, {2, 3.3}, {2, 5}, {4, 5}, {4, 2}, {2, 2}, {2, 3.3}, {0, 3.3}}, nil},
	} {
		straight := mustShape(t, o.exterior, o.holes...)
		want := 0.0
		for _, p := range straight.parts {
			want += ringArea(p.pts)
		}
		for k := range 200 {
			degrees := float64(k) * 1.731
			r := o.turned(degrees)
			s, err := NewShape(r.exterior, r.holes)
			require.NoError(t, err, "%s at %v", name, degrees)
			area := 0.0
			for _, p := range s.Turned(-degrees).parts {
				area += ringArea(p.pts)
				// Drawn in a little, lest edges all but coincide.
				middle, inner := orb.MultiPoint(p.pts).Bound().Center(), outline{}
				for _, v := range p.pts {
					inner.exterior = append(inner.exterior, plus(middle, scaled(minus(v, middle), 0.999)))
				}
				within := 0.0
				for _, q := range straight.parts {
					within += intersectionArea(t, inner.outside(orb.Point{}), outline{exterior: q.pts}.outside(orb.Point{}), 10)
				}
				require.InDelta(t, inner.rawArea(), within, 0.02*inner.rawArea()+1e-9, "%s at %v", name, degrees)
			}
			require.InDelta(t, want, area, 1e-9, "%s at %v", name, degrees)
		}
	}
}
