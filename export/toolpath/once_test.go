package toolpath_test

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"plyroom/export/toolpath"
	"plyroom/nest"
)

// Nine boxes of 100 mm without a gap: 24 edges are there, 12 of them shared.
func TestSharedEdgesAreCutOnce(t *testing.T) {
	var bs [][4]float64
	for i := range 9 {
		x, y := float64(100*(i%3)), float64(100*(i/3))
		bs = append(bs, [4]float64{x, y, x + 100, y + 100})
	}
	rec := boxes(bs...)
	twice := plan(t, rec, toolpath.Machine{})
	assert.InDelta(t, 3600, twice.Stats.CutLength, 1e-6)
	once := plan(t, rec, toolpath.Machine{Once: true})
	assert.InDelta(t, 2400, once.Stats.CutLength, 1e-6)
	for i, c := range once.Cuts {
		assert.Equal(t, i+1, c.Number)
	}
	// Every point of every edge lies on a cut.
	for _, p := range rec.Layouts[0].Placed {
		for k, a := range p.Outline {
			b := p.Outline[(k+1)%4]
			for f := 0.0; f <= 1; f += 0.125 {
				at := orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
				assert.Less(t, cutDistance(once, at), 1e-6, "%v", at)
			}
		}
	}
}

func cutDistance(p *toolpath.Path, at orb.Point) float64 {
	d := math.Inf(1)
	for _, c := range p.Cuts {
		line := c.Points
		if c.Closed {
			line = append(append(orb.LineString{}, line...), line[0])
		}
		for i := 1; i < len(line); i++ {
			d = math.Min(d, segment(line[i-1], line[i], at))
		}
	}
	return d
}

// Edges that overlap in part, one longer than the other, and edges that only
// cross or lie a little apart.
func TestEdgesSharedInPart(t *testing.T) {
	// B stands on the middle third of A's upper edge: 100 mm are shared.
	part := boxes([4]float64{0, 0, 300, 100}, [4]float64{100, 100, 200, 200})
	p := plan(t, part, toolpath.Machine{Once: true})
	assert.InDelta(t, 800+400-100, p.Stats.CutLength, 1e-6)

	apart := boxes([4]float64{0, 0, 300, 100}, [4]float64{100, 100.02, 200, 200})
	p = plan(t, apart, toolpath.Machine{Once: true})
	assert.InDelta(t, 800+399.96, p.Stats.CutLength, 1e-6)
}

// A loop that begins in the middle of what is left stays in one part.
func TestWhatIsLeftIsJoined(t *testing.T) {
	rec := boxes([4]float64{0, 0, 100, 100}, [4]float64{100, 0, 200, 100})
	p := plan(t, rec, toolpath.Machine{Once: true})
	assert.Len(t, p.Cuts, 2)
	assert.True(t, p.Cuts[0].Closed)
	assert.False(t, p.Cuts[1].Closed)
	assert.Len(t, p.Cuts[1].Points, 4)
}

// A ply whose whole outline is cut by its neighbours has its cut-out cut before
// the last of them sets it loose.
func TestCutOutsBeforeNeighboursSetThePlyLoose(t *testing.T) {
	rec := boxes(
		[4]float64{100, 100, 200, 200}, // the middle, A
		[4]float64{0, 0, 200, 100}, [4]float64{200, 0, 300, 200}, [4]float64{100, 200, 300, 300}, [4]float64{0, 100, 100, 300},
	)
	rec.Layouts[0].Placed[0].Holes = []nest.Ring{{{140, 140}, {140, 160}, {160, 160}, {160, 140}}}
	p := plan(t, rec, toolpath.Machine{Once: true})
	hole, last := 0, 0
	for _, c := range p.Cuts {
		if c.Kind == toolpath.Hole {
			hole = c.Number
			continue
		}
		for _, v := range c.Points {
			if v[0] >= 100 && v[0] <= 200 && v[1] >= 100 && v[1] <= 200 {
				last = c.Number
			}
		}
	}
	assert.Equal(t, 1, hole)
	assert.Greater(t, last, hole)
}

// A rectangle divided at random into boxes without gaps: what is cut is as long
// as the union of all edges.
func TestSharedEdgesOfRandomBoxes(t *testing.T) {
	for seed := uint64(0); seed < 6; seed++ {
		rng := rand.New(rand.NewPCG(seed, 9))
		bs := [][4]float64{{0, 0, 1000, 1000}}
		for len(bs) < 24 {
			k := rng.IntN(len(bs))
			b := bs[k]
			f := 0.2 + 0.6*rng.Float64()
			axis := rng.IntN(2)
			if b[2+axis]-b[axis] < 60 {
				continue
			}
			at := math.Round(b[axis] + f*(b[2+axis]-b[axis]))
			c := b
			b[2+axis], c[axis] = at, at
			bs[k] = b
			bs = append(bs, c)
		}
		p := plan(t, boxes(bs...), toolpath.Machine{Once: true})
		assert.InDelta(t, union(bs), p.Stats.CutLength, 1e-3, "seed %d", seed)
	}
}

// union is the length of all edges of boxes, each stretch counted once.
func union(bs [][4]float64) float64 {
	lines := map[[2]float64][][2]float64{} // axis and place -> stretches
	for _, b := range bs {
		for axis := range 2 {
			for _, side := range []int{0, 2} {
				key := [2]float64{float64(axis), b[side+axis]}
				lines[key] = append(lines[key], [2]float64{b[1-axis], b[3-axis]})
			}
		}
	}
	sum := 0.0
	for _, s := range lines {
		sort.Slice(s, func(i, j int) bool { return s[i][0] < s[j][0] })
		end := math.Inf(-1)
		for _, x := range s {
			sum += math.Max(0, x[1]-math.Max(x[0], end))
			end = math.Max(end, x[1])
		}
	}
	return sum
}
