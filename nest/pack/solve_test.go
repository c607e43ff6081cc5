package pack

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
)

func rect(w, h float64) orb.Ring { return orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// ell is an L: a w × h rectangle without its upper right quarter.
func ell(w, h float64) orb.Ring {
	return orb.Ring{{0, 0}, {w, 0}, {w, h / 2}, {w / 2, h / 2}, {w / 2, h}, {0, h}}
}

// blob is a smooth ply of n vertices around a far origin.
func blob(r *rand.Rand, n int, size float64) orb.Ring {
	var out orb.Ring
	ox, oy := 1000*r.Float64(), 1000*r.Float64()
	p, q := 6.28*r.Float64(), 6.28*r.Float64()
	e := 0.4 + 0.6*r.Float64()
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		d := size * (1 + 0.25*math.Sin(2*a+p) + 0.15*math.Sin(3*a+q)) / 2
		out = append(out, orb.Point{ox + d*math.Cos(a), oy + e*d*math.Sin(a)})
	}
	return out
}

func fixed(deg ...float64) (out []Orientation) {
	for _, d := range deg {
		out = append(out, Orientation{From: d, To: d})
	}
	return out
}

// placedRing applies a placement as its documentation says.
func placedRing(ring orb.Ring, p Placement) orb.Ring {
	sin, cos := math.Sincos(p.Rotation * math.Pi / 180)
	var out orb.Ring
	for _, v := range ring {
		x, y := v[0], v[1]
		if p.Mirrored {
			y = -y
		}
		out = append(out, orb.Point{cos*x - sin*y + p.X, sin*x + cos*y + p.Y})
	}
	return out
}

func toGeom(rings ...orb.Ring) geom.Geometry {
	var lines []geom.LineString
	for _, r := range rings {
		var c []float64
		for _, p := range r {
			c = append(c, p[0], p[1])
		}
		c = append(c, r[0][0], r[0][1])
		lines = append(lines, geom.NewLineString(geom.NewSequence(c, geom.DimXY)))
	}
	return geom.NewPolygon(lines).AsGeometry()
}

// checkResult checks a result against every rule with an outside library, and
// recomputes its length.
func checkResult(t testing.TB, p *Problem, got Result) {
	t.Helper()
	size := p.Width
	for _, c := range p.Pieces {
		b := c.Exterior.Bound()
		size = math.Max(size, math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]))
	}
	near := 1e-8 * size
	count := make([]int, len(p.Pieces))
	type placed struct {
		g geom.Geometry
		b orb.Bound
	}
	var all []placed
	length := 0.0
	for _, pl := range got.Placements {
		c := &p.Pieces[pl.Piece]
		require.Equal(t, count[pl.Piece] <= pl.Copy, true, "copies in order")
		count[pl.Piece]++
		ok := len(c.Orientations) == 0 && !pl.Mirrored
		for _, o := range c.Orientations {
			turn := math.Mod(math.Mod(pl.Rotation-o.From, 360)+360, 360)
			ok = ok || o.Mirrored == pl.Mirrored && (turn <= o.To-o.From+1e-9 || turn > 360-1e-9)
		}
		require.Truef(t, ok, "rotation %v mirrored %v", pl.Rotation, pl.Mirrored)
		rings := []orb.Ring{placedRing(c.Exterior, pl)}
		for _, h := range c.Holes {
			rings = append(rings, placedRing(h, pl))
		}
		b := rings[0].Bound()
		length = math.Max(length, b.Max[0])
		require.GreaterOrEqual(t, b.Min[0], -near)
		require.GreaterOrEqual(t, b.Min[1], -near)
		require.LessOrEqual(t, b.Max[1], p.Width+near)
		if p.MaxLength > 0 {
			require.LessOrEqual(t, b.Max[0], p.MaxLength+near)
		}
		all = append(all, placed{toGeom(rings...), b})
	}
	require.InDelta(t, length, got.Length, near)
	for _, u := range got.Unplaced {
		count[u.Piece] += u.Count
	}
	for i := range p.Pieces {
		require.Equal(t, p.Pieces[i].Count, count[i])
	}
	for i := range all {
		for _, o := range p.Obstacles {
			requireApart(t, all[i].g, all[i].b, toGeom(orb.Ring{o.Min, {o.Max[0], o.Min[1]}, o.Max, {o.Min[0], o.Max[1]}}), o, 0, near)
		}
		for j := range i {
			requireApart(t, all[i].g, all[i].b, all[j].g, all[j].b, p.Gap, near)
		}
	}
}

func requireApart(t testing.TB, g geom.Geometry, gb orb.Bound, h geom.Geometry, hb orb.Bound, gap, near float64) {
	t.Helper()
	if gb.Min[0]-gap > hb.Max[0] || hb.Min[0]-gap > gb.Max[0] || gb.Min[1]-gap > hb.Max[1] || hb.Min[1]-gap > gb.Max[1] {
		return
	}
	if gap > 0 {
		d, _ := geom.Distance(g, h)
		require.GreaterOrEqual(t, d, gap-1e-6-near)
		return
	}
	x, err := geom.Intersection(g, h)
	require.NoError(t, err)
	if x.Area() > 0 {
		e := x.Envelope()
		require.LessOrEqualf(t, x.Area(), 2*near*math.Max(e.Width(), e.Height()), "overlap of area %v", x.Area())
	}
}

func solve(t testing.TB, p *Problem, s Settings) Result {
	t.Helper()
	got, err := Solve(context.Background(), p, s, nil)
	require.NoError(t, err)
	checkResult(t, p, got)
	return got
}

func TestGapFitsExactly(t *testing.T) {
	p := &Problem{Width: 1183, Gap: 3, Pieces: []Piece{{Exterior: rect(1000, 590), Count: 2, Orientations: fixed(0, 180)}}}
	got := solve(t, p, Settings{Effort: 3})
	require.InDelta(t, 1000, got.Length, 1e-6)
}

func TestWallsAndFlaws(t *testing.T) {
	p := &Problem{Width: 100, Pieces: []Piece{
		{Exterior: ell(60, 40), Count: 12, Orientations: fixed(0, 90, 180, 270)},
		{Exterior: rect(20, 30), Count: 20, Orientations: fixed(0, 90)},
	}}
	for i := range 20 {
		x := 100 * float64(i+1)
		p.Obstacles = append(p.Obstacles, orb.Bound{Min: orb.Point{x, 0}, Max: orb.Point{x + 0.01, 100}})
	}
	p.Obstacles = append(p.Obstacles, orb.Bound{Min: orb.Point{30, 40}, Max: orb.Point{40, 50}})
	got := solve(t, p, Settings{Effort: 5})
	require.Empty(t, got.Unplaced)
	require.Less(t, got.Length, 500.0)
}

func TestTolerances(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	p := &Problem{Width: 100, Gap: 1}
	for i := range 6 {
		o := []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}
		switch i % 3 {
		case 1:
			o = nil
		case 2:
			o = []Orientation{{From: 0, To: 0}, {Mirrored: true, From: 85, To: 95}}
		}
		p.Pieces = append(p.Pieces, Piece{Exterior: blob(r, 12, 30+5*float64(i)), Count: 3, Orientations: o})
	}
	solve(t, p, Settings{Effort: 3})
}

func TestHoleIsUsed(t *testing.T) {
	p := &Problem{Width: 20, Pieces: []Piece{
		{Exterior: rect(20, 20), Holes: []orb.Ring{{{5, 5}, {15, 5}, {15, 15}, {5, 15}}}, Count: 1, Orientations: fixed(0)},
		{Exterior: rect(9, 9), Count: 1, Orientations: fixed(0)},
	}}
	got := solve(t, p, Settings{Effort: 2})
	require.InDelta(t, 20, got.Length, 1e-6)
}

func TestMaxLengthLeavesSomeOut(t *testing.T) {
	p := &Problem{Width: 100, MaxLength: 100, Pieces: []Piece{{Exterior: rect(30, 30), Count: 20, Orientations: fixed(0)}}}
	got := solve(t, p, Settings{Effort: 1})
	require.Len(t, got.Placements, 9)
	require.Equal(t, []Unplaced{{0, 11}}, got.Unplaced)
}

func TestSameSeedSameLayout(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	p := &Problem{Width: 100}
	for range 5 {
		p.Pieces = append(p.Pieces, Piece{Exterior: blob(r, 10, 40), Count: 3, Orientations: fixed(0, 180)})
	}
	var first Result
	for i, workers := range []int{1, 3, 2} {
		got := solve(t, p, Settings{Effort: 4, Seed: 9, Workers: workers})
		if i == 0 {
			first = got
		}
		require.Equal(t, first, got, fmt.Sprint(workers, " workers"))
	}
	other := solve(t, p, Settings{Effort: 4, Seed: 10, Workers: 2})
	require.NotEqual(t, first.Placements, other.Placements)
}

func TestContextEndsAtOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	p := &Problem{Width: 200}
	for range 20 {
		p.Pieces = append(p.Pieces, Piece{Exterior: blob(r, 20, 40), Count: 10, Orientations: fixed(0, 180)})
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	start := time.Now()
	got, err := Solve(ctx, p, Settings{}, nil)
	require.NoError(t, err)
	require.Less(t, time.Since(start), 2*time.Second)
	require.Empty(t, got.Unplaced)
	require.Equal(t, ContextEnded, got.Status)
	checkResult(t, p, got)
}

func TestBadProblems(t *testing.T) {
	good := Piece{Exterior: rect(1, 1), Count: 1}
	for name, p := range map[string]*Problem{
		"nil":              nil,
		"no width":         {Pieces: []Piece{good}},
		"width not finite": {Width: math.Inf(1), Pieces: []Piece{good}},
		"gap":              {Width: 1, Gap: math.NaN(), Pieces: []Piece{good}},
		"length":           {Width: 1, MaxLength: -1, Pieces: []Piece{good}},
		"count":            {Width: 1, Pieces: []Piece{{Exterior: rect(1, 1), Count: -1}}},
		"ring":             {Width: 1, Pieces: []Piece{{Exterior: orb.Ring{{0, 0}, {1, 1}}, Count: 1}}},
		"vertex":           {Width: 1, Pieces: []Piece{{Exterior: orb.Ring{{0, 0}, {1, math.NaN()}, {1, 1}}, Count: 1}}},
		"interval":         {Width: 1, Pieces: []Piece{{Exterior: rect(1, 1), Count: 1, Orientations: []Orientation{{From: 2, To: 1}}}}},
		"obstacle":         {Width: 1, Pieces: []Piece{good}, Obstacles: []orb.Bound{{Min: orb.Point{math.NaN(), 0}}}},
	} {
		_, err := Solve(context.Background(), p, Settings{Effort: 1}, nil)
		require.ErrorIs(t, err, ErrBadProblem, name)
	}
	_, err := Solve(context.Background(), &Problem{Width: 5, Pieces: []Piece{good, {Exterior: rect(7, 6), Count: 1, Orientations: fixed(0, 90)}}}, Settings{Effort: 1}, nil)
	var wide *TooWideError
	require.ErrorAs(t, err, &wide)
	require.Equal(t, TooWideError{Piece: 1, Needs: 6, Width: 5}, *wide)
}

func TestNothingToLay(t *testing.T) {
	got := solve(t, &Problem{Width: 1}, Settings{})
	require.Equal(t, Trivial, got.Status)
}

func TestMaxLengthMetBySearch(t *testing.T) {
	// Triangles that fill the strip in pairs: a plain first layout is longer
	// than what is asked for.
	tri := orb.Ring{{0, 0}, {30, 0}, {0, 50}}
	p := &Problem{Width: 50, MaxLength: 100, Pieces: []Piece{{Exterior: tri, Count: 6, Orientations: fixed(0, 180)}}}
	got := solve(t, p, Settings{Effort: 20, Workers: 2})
	require.Empty(t, got.Unplaced)
	// No layout of eight fits; as many as can be are laid.
	p.Pieces[0].Count = 8
	got = solve(t, p, Settings{Effort: 5, Workers: 2})
	require.NotEmpty(t, got.Unplaced)
	require.GreaterOrEqual(t, len(got.Placements), 5)
}

func TestPieceThatIsNotLaidMayBeTooWide(t *testing.T) {
	p := &Problem{Width: 5, Pieces: []Piece{
		{Exterior: rect(9, 9), Count: 0, Orientations: fixed(0)},
		{Exterior: rect(4, 4), Count: 2, Orientations: fixed(0)},
	}}
	got := solve(t, p, Settings{Effort: 1})
	require.Len(t, got.Placements, 2)
	require.InDelta(t, 8, got.Length, 1e-6)
}
