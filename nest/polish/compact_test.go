package polish

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func box(w, h float64) *Shape { return boxShape(orb.Bound{Max: orb.Point{w, h}}) }

func mustShape(t checker, ring orb.Ring, holes ...orb.Ring) *Shape {
	t.Helper()
	s, err := NewShape(ring, holes)
	require.NoError(t, err)
	return s
}

func shaken(at []orb.Point, by float64, rng *rand.Rand) []orb.Point {
	moved := slices.Clone(at)
	for i := range moved {
		moved[i][0] += (rng.Float64()*2 - 1) * by
		moved[i][1] += (rng.Float64()*2 - 1) * by
	}
	return moved
}

func TestCompactClosesPublishedJigsaw(t *testing.T) {
	in := loadInstance(t, "dighe1")
	solved := solveJigsaw(in)
	require.NotNil(t, solved)
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 1))
		at := slices.Clone(solved)
		for i := range at {
			at[i][0] *= 1.003
		}
		got, err := Compact(context.Background(), Strip{Width: in.width}, in.shapes, shaken(at, 0.5, rng), Options{})
		require.NoError(t, err)
		require.True(t, got.Valid, "seed %d: overlap %v", seed, got.Overlap)
		require.Equal(t, 100.0, got.Length, "seed %d", seed)
		require.Equal(t, solved, got.At, "seed %d", seed)
	}
}

// cutJigsaw cuts a rectangle into convex pieces by lines, each through one
// piece and with the given rounding of its ends.
func cutJigsaw(w, h float64, pieces int, rng *rand.Rand) [][]orb.Point {
	cut := [][]orb.Point{{{0, 0}, {w, 0}, {w, h}, {0, h}}}
	for len(cut) < pieces {
		slices.SortStableFunc(cut, func(a, b []orb.Point) int { return compareFloats(ringArea(b), ringArea(a)) })
		p := cut[0]
		n := len(p)
		// From a point on one edge to a point on another.
		i := rng.IntN(n)
		j := (i + 1 + rng.IntN(n-1)) % n
		if i > j {
			i, j = j, i
		}
		on := func(k int) orb.Point {
			a, b := p[k], p[(k+1)%n]
			t := 0.3 + 0.4*rng.Float64()
			return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
		}
		a, b := on(i), on(j)
		first := append([]orb.Point{a}, p[i+1:j+1]...)
		first = append(first, b)
		second := append([]orb.Point{b}, p[j+1:]...)
		second = append(append(second, p[:i+1]...), a)
		if min(ringArea(first), ringArea(second)) < 0.1*ringArea(p) {
			continue
		}
		cut = append(cut[1:], first, second)
	}
	return cut
}

// Pieces cut from a rectangle by lines through arbitrary points fit it only as
// exactly as their rounded vertices do; that must be found.
func TestCompactClosesCutRectangles(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 2))
		var shapes []*Shape
		var at []orb.Point
		for _, ring := range cutJigsaw(170, 100, 8+rng.IntN(10), rng) {
			origin := ring[rng.IntN(len(ring))]
			moved := make(orb.Ring, len(ring))
			for k, p := range ring {
				moved[k] = minus(p, origin)
			}
			shapes = append(shapes, mustShape(t, moved))
			at = append(at, orb.Point{origin[0] * 1.002, origin[1]})
		}
		got, err := Compact(context.Background(), Strip{Width: 100}, shapes, shaken(at, 0.2, rng), Options{})
		require.NoError(t, err)
		require.True(t, got.Valid, "seed %d: overlap %v", seed, got.Overlap)
		require.InDelta(t, 170, got.Length, 1e-8, "seed %d", seed)
	}
}

// Pieces that interlock by teeth in both directions.
func TestCompactClosesInterlockingPieces(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	const width, columns = 60.0, 6
	zigzag := func(x float64) []orb.Point {
		var line []orb.Point
		for y := 0.0; y <= width; y += 7.5 {
			// Dovetails: the teeth are wider at their tips, so that pieces
			// come apart only sideways.
			tip := float64(int(y/7.5)%2) * 4
			line = append(line, orb.Point{x + tip, y - 1 + 2*float64(int(y/7.5)%2)})
		}
		line[0][1], line[len(line)-1][1] = 0, width
		return line
	}
	lines := [][]orb.Point{{{0, 0}, {0, width}}}
	for c := 1; c < columns; c++ {
		lines = append(lines, zigzag(float64(c)*20))
	}
	lines = append(lines, []orb.Point{{columns * 20, 0}, {columns * 20, width}})
	var shapes []*Shape
	var at []orb.Point
	for c := range columns {
		left, right := slices.Clone(lines[c]), slices.Clone(lines[c+1])
		slices.Reverse(left)
		ring := append(right, left...)
		shapes = append(shapes, mustShape(t, orb.Ring(ring)))
		at = append(at, orb.Point{float64(c) * 0.3, 0})
	}
	got, err := Compact(context.Background(), Strip{Width: width}, shapes, shaken(at, 0.1, rng), Options{})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.Equal(t, columns*20.0, got.Length)
	for i, p := range got.At {
		require.Equal(t, orb.Point{0, 0}, p, "piece %d", i)
	}
}

func TestCompactRectangles(t *testing.T) {
	shapes := []*Shape{box(33.3, 20), box(20.1, 20), box(53.4, 10)}
	at := []orb.Point{{0.2, 0.1}, {33.7, -0.2}, {0.1, 20.4}}
	got, err := Compact(context.Background(), Strip{Width: 30}, shapes, at, Options{})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.InDelta(t, 53.4, got.Length, 1e-13)
	require.Equal(t, []orb.Point{{0, 0}, {33.3, 0}, {0, 20}}, got.At)
	require.Equal(t, Converged, got.Status)
}

func TestCompactKeepsTheGap(t *testing.T) {
	square := box(10, 10)
	diamond := mustShape(t, orb.Ring{{5, 0}, {10, 5}, {5, 10}, {0, 5}})
	for _, gap := range []float64{0, 0.5, 2} {
		at := []orb.Point{{1, 0}, {13, 0.3}, {26, 0}, {39, 0.2}}
		shapes := []*Shape{square, square, diamond, diamond}
		got, err := Compact(context.Background(), Strip{Width: 10.2}, shapes, at, Options{Gap: gap})
		require.NoError(t, err)
		require.True(t, got.Valid)
		// The gap counts between pieces, not towards the start of the strip.
		require.InDelta(t, 0, got.At[0][0], 1e-12)
		require.InDelta(t, 10+gap, got.At[1][0], 1e-12)
		// Square and diamond are a gap apart along x; the diamonds may pass
		// each other by the strip's 0.2 of freedom.
		require.InDelta(t, 10+gap, got.At[2][0]-got.At[1][0], 1e-12)
		apart := minus(got.At[3], got.At[2])
		require.GreaterOrEqual(t, apart[0]+math.Abs(apart[1]), 10+math.Sqrt2*gap-1e-9, "gap %v", gap)
	}
}

// Corner to corner, the gap is the distance between the corners, not between
// the longer lines along the edges.
func TestCompactGapBetweenCorners(t *testing.T) {
	square := box(10, 10)
	start := []orb.Point{{0, 0}, {10.8, 10.7}}
	require.Greater(t, norm(orb.Point{0.8, 0.7}), 1.0)
	got, err := Compact(context.Background(), Strip{Width: 20.7}, []*Shape{square, square}, start, Options{Gap: 1})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.InDelta(t, 20+math.Sqrt(1-0.49), got.Length, 1e-6)
}

func TestCompactAroundObstacles(t *testing.T) {
	strip := Strip{Width: 20, Obstacles: []orb.Bound{
		{Min: orb.Point{12, 5}, Max: orb.Point{14, 20}},
		{Min: orb.Point{3, 3}, Max: orb.Point{3, 9}}, // without area: nothing
	}}
	got, err := Compact(context.Background(), strip, []*Shape{box(10, 10), box(5, 8)},
		[]orb.Point{{0.5, 6}, {14.1, 11.3}}, Options{Gap: 1})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.InDelta(t, 0, got.At[0][0], 1e-12)
	// The gap does not apply towards obstacles.
	require.InDelta(t, 14, got.At[1][0], 1e-12)
}

func TestCompactInsideAHole(t *testing.T) {
	frame := mustShape(t, orb.Ring{{0, 0}, {30, 0}, {30, 20}, {0, 20}}, orb.Ring{{5, 5}, {5, 15}, {25, 15}, {25, 5}})
	exact := box(20, 10)
	got, err := Compact(context.Background(), Strip{Width: 20}, []*Shape{frame, exact},
		[]orb.Point{{1, 0}, {6.1, 4.95}}, Options{})
	require.NoError(t, err)
	require.True(t, got.Valid, "overlap %v", got.Overlap)
	require.Equal(t, []orb.Point{{0, 0}, {5, 5}}, got.At)
}

func TestCompactFixedPieces(t *testing.T) {
	got, err := Compact(context.Background(), Strip{Width: 10}, []*Shape{box(5, 10), box(5, 10), box(3, 10)},
		[]orb.Point{{1, 0}, {8, 0}, {20, 0}}, Options{Fixed: []bool{false, true, false}})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.Equal(t, []orb.Point{{0, 0}, {8, 0}, {13, 0}}, got.At)
	require.Equal(t, 16.0, got.Length)
}

func TestCompactMaxLength(t *testing.T) {
	shapes := []*Shape{box(10, 10), box(10, 10)}
	at := []orb.Point{{0, 0}, {9.9, 0}}
	got, err := Compact(context.Background(), Strip{Width: 10, MaxLength: 20}, shapes, at, Options{})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.Equal(t, 20.0, got.Length)
	got, err = Compact(context.Background(), Strip{Width: 10, MaxLength: 19.95}, shapes, at, Options{})
	require.NoError(t, err)
	require.False(t, got.Valid)
	require.LessOrEqual(t, got.Length, 19.95+1e-9)
	require.InDelta(t, 0.05, got.Overlap, 1e-9)
}

func TestSeparateCannot(t *testing.T) {
	got, err := Separate(context.Background(), Strip{Width: 10}, 19, []*Shape{box(10, 10), box(10, 10)},
		[]orb.Point{{0, 0}, {12, 0}}, Options{})
	require.NoError(t, err)
	require.False(t, got.Valid)
	require.InDelta(t, 1, got.Overlap, 1e-9)
	require.InDelta(t, 19, got.Length, 1e-9)
}

// Two triangles touch corner to corner, one of them fixed. Two edges keep them
// apart equally well; the strip leaves room to slide along one of them only.
func TestCompactSwitchesToTheBetterEdge(t *testing.T) {
	left := mustShape(t, orb.Ring{{0, 0}, {10, 5}, {0, 10}})
	right := mustShape(t, orb.Ring{{0, 5}, {10, 0}, {10, 10}})
	for _, y := range []float64{0, 5} {
		got, err := Compact(context.Background(), Strip{Width: 15}, []*Shape{left, right},
			[]orb.Point{{0, y}, {10, y}}, Options{Fixed: []bool{true, false}})
		require.NoError(t, err)
		require.True(t, got.Valid)
		require.InDelta(t, 10, got.Length, 1e-9, "left at %v", y)
	}
}

func TestCompactCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	at := []orb.Point{{0, 0}, {15, 0}}
	got, err := Compact(ctx, Strip{Width: 10}, []*Shape{box(10, 10), box(10, 10)}, at, Options{})
	require.NoError(t, err)
	require.Equal(t, Cancelled, got.Status)
	require.True(t, got.Valid)
	require.Equal(t, at, got.At)
}

func TestCompactStopsSoonAfterItsContext(t *testing.T) {
	in := loadInstance(t, "shirts")
	rng := rand.New(rand.NewPCG(1, 1))
	base := leftmost(in, 20, rng)
	var shapes []*Shape
	var at []orb.Point
	for k := range 8 {
		shapes = append(shapes, in.shapes...)
		for _, p := range base {
			at = append(at, plus(p, orb.Point{float64(k) * 80, 0}))
		}
	}
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	start := time.Now()
	got, err := Compact(ctx, Strip{Width: in.width}, shapes, at, Options{})
	require.NoError(t, err)
	require.Less(t, time.Since(start), 5*time.Second)
	require.True(t, got.Valid)
}

func TestCompactSharesShapesBetweenGoroutines(t *testing.T) {
	shapes := []*Shape{box(3, 10), mustShape(t, orb.Ring{{0, 0}, {5, 0}, {5, 5}, {2, 2}, {0, 5}}), box(3, 4)}
	at := []orb.Point{{0, 0}, {4, 0}, {10, 2}}
	want, err := Compact(context.Background(), Strip{Width: 10}, shapes, at, Options{})
	require.NoError(t, err)
	var wait sync.WaitGroup
	results := make([]Result, 8)
	for k := range results {
		wait.Go(func() { results[k], _ = Compact(context.Background(), Strip{Width: 10}, shapes, at, Options{}) })
	}
	wait.Wait()
	for _, got := range results {
		require.Equal(t, want, got)
	}
}

func TestCompactNothing(t *testing.T) {
	got, err := Compact(context.Background(), Strip{Width: 10}, nil, nil, Options{})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.Empty(t, got.At)
	require.Zero(t, got.Length)
}

func TestInputErrors(t *testing.T) {
	ok := []*Shape{box(1, 1)}
	at := []orb.Point{{0, 0}}
	for name, c := range map[string]struct {
		strip  Strip
		shapes []*Shape
		at     []orb.Point
		opt    Options
	}{
		"no width":      {Strip{}, ok, at, Options{}},
		"NaN width":     {Strip{Width: math.NaN()}, ok, at, Options{}},
		"length":        {Strip{Width: 1, MaxLength: -1}, ok, at, Options{}},
		"obstacle":      {Strip{Width: 1, Obstacles: []orb.Bound{{Max: orb.Point{math.Inf(1), 0}}}}, ok, at, Options{}},
		"gap":           {Strip{Width: 1}, ok, at, Options{Gap: -1}},
		"positions":     {Strip{Width: 1}, ok, nil, Options{}},
		"fixed":         {Strip{Width: 1}, ok, at, Options{Fixed: []bool{true, false}}},
		"nil shape":     {Strip{Width: 1}, []*Shape{nil}, at, Options{}},
		"NaN position":  {Strip{Width: 1}, ok, []orb.Point{{0, math.NaN()}}, Options{}},
		"wider than it": {Strip{Width: 0.9}, ok, at, Options{}},
	} {
		_, err := Compact(context.Background(), c.strip, c.shapes, c.at, c.opt)
		require.ErrorIs(t, err, ErrInput, name)
		_, err = Separate(context.Background(), c.strip, 10, c.shapes, c.at, c.opt)
		require.ErrorIs(t, err, ErrInput, name)
	}
	_, err := Separate(context.Background(), Strip{Width: 1}, 0, ok, at, Options{})
	require.ErrorIs(t, err, ErrInput)
}

func TestStatus(t *testing.T) {
	shapes := []*Shape{box(3, 10), box(3, 10), box(3, 10)}
	at := []orb.Point{{10, 0}, {20, 0}, {30, 0}}
	got, err := Compact(context.Background(), Strip{Width: 10}, shapes, at, Options{MaxSteps: 2})
	require.NoError(t, err)
	require.Equal(t, Limited, got.Status)
	require.Equal(t, 2, got.Steps)
	require.True(t, got.Valid)
	require.Less(t, got.Length, 33.0)
	require.Equal(t, "converged limited cancelled", Converged.String()+" "+Limited.String()+" "+Cancelled.String())
}

// No piece moves by more than the reach in one step.
func TestReachIsKept(t *testing.T) {
	shapes := []*Shape{box(3, 10), box(3, 10)}
	at := []orb.Point{{10, 0}, {20, 0}}
	got, err := Compact(context.Background(), Strip{Width: 10}, shapes, at, Options{MaxSteps: 1, Reach: 0.75})
	require.NoError(t, err)
	require.Equal(t, []orb.Point{{9.25, 0}, {19.25, 0}}, got.At)
}

func TestSnapKeepsWhatItCannotImprove(t *testing.T) {
	l, err := newLayout(Strip{Width: 10}, []*Shape{box(1, 1), box(1, 1)}, []orb.Point{{0, 0}, {1 + 1e-14, 0}}, Options{})
	require.NoError(t, err)
	l.snap()
	require.Equal(t, orb.Point{1, 0}, l.at[1])
	// A third is no short decimal.
	l.at[1][0] = 4.0 / 3
	l.snap()
	require.Equal(t, 4.0/3, l.at[1][0])
	for exponent, want := range map[int]float64{-3: 1234.568, 0: 1235, 2: 1200} {
		require.Equal(t, want, roundTo(1234.5678, exponent))
	}
}

// Deep overlaps take several steps, each of which has to count as a gain.
func TestSeparateTakesAsManyStepsAsNeeded(t *testing.T) {
	shapes := []*Shape{box(3, 10), box(3, 10), box(3, 10)}
	at := []orb.Point{{5, 0}, {7, 0}, {9, 0}}
	got, err := Separate(context.Background(), Strip{Width: 10}, 20, shapes, at, Options{Reach: 0.05})
	require.NoError(t, err)
	require.True(t, got.Valid, "overlap %v", got.Overlap)
	require.Greater(t, got.Steps, 15)
	require.GreaterOrEqual(t, got.At[1][0]-got.At[0][0], 3-1e-9)
	require.GreaterOrEqual(t, got.At[2][0]-got.At[1][0], 3-1e-9)
}

// A shape's origin may lie anywhere.
func TestCompactWithFarOrigins(t *testing.T) {
	a := mustShape(t, orb.Ring{{-50, 70}, {-40, 70}, {-40, 80}, {-50, 80}})
	got, err := Compact(context.Background(), Strip{Width: 11}, []*Shape{a, a},
		[]orb.Point{{55, -69.5}, {67, -70}}, Options{})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.Equal(t, 20.0, got.Length)
	require.Equal(t, []orb.Point{{50, -70}, {60, -70}}, got.At)
}
