package collide

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// A Pole is a circle that lies wholly inside a ply ("pole of
// inaccessibility": the first one is the largest such circle).
type Pole struct {
	X, Y, R float64
}

const (
	maxPoles     = 14
	poleCoverage = 0.9  // share of the area after which circles stop
	leastPole    = 0.06 // smallest circle, as a share of the largest
)

// findPoles returns up to maxPoles inscribed circles, each the largest that
// keeps out of those before it.
func findPoles(rings [][]orb.Point, area float64) []Pole {
	var poles []Pole
	covered := 0.0
	for len(poles) < maxPoles && covered < poleCoverage*area {
		p := nextPole(rings, poles)
		if p.R <= 0 || len(poles) > 0 && p.R < leastPole*poles[0].R {
			break
		}
		poles = append(poles, p)
		covered += float64(math.Pi * p.R * p.R)
	}
	return poles
}

type poleCell struct {
	x, y, h float64 // centre, half side
	d       float64 // clearance at the centre
	best    float64 // most clearance the cell can hold
}

type poleQueue []poleCell

func (q poleQueue) Len() int           { return len(q) }
func (q poleQueue) Less(i, j int) bool { return q[i].best > q[j].best }
func (q poleQueue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *poleQueue) Push(x any)        { *q = append(*q, x.(poleCell)) }
func (q *poleQueue) Pop() any {
	o := *q
	x := o[len(o)-1]
	*q = o[:len(o)-1]
	return x
}

// nextPole is a branch and bound over a quadtree. The first cells are no wider
// than the narrow side of the bounding box, so that thin shapes are not missed;
// clearance changes by no more than the distance moved, which bounds a cell.
func nextPole(rings [][]orb.Point, poles []Pole) Pole {
	b := orb.Ring(rings[0]).Bound()
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	side := math.Min(w, h)
	side = math.Max(side, math.Max(w, h)/2000)
	q := &poleQueue{}
	var best Pole
	add := func(x, y, half float64) {
		d := clearance(rings, poles, x, y)
		if d > best.R {
			best = Pole{x, y, d}
		}
		c := poleCell{x, y, half, d, d + float64(half*math.Sqrt2)}
		if c.best > best.R*(1+poleStep) {
			heap.Push(q, c)
		}
	}
	for x := b.Min[0]; x < b.Max[0]; x += side {
		for y := b.Min[1]; y < b.Max[1]; y += side {
			add(x+side/2, y+side/2, side/2)
		}
	}
	for steps := 0; q.Len() > 0 && steps < 4000; steps++ {
		c := heap.Pop(q).(poleCell)
		if c.best <= best.R*(1+poleStep) {
			break
		}
		g := float64(c.h / 2)
		add(c.x-g, c.y-g, g)
		add(c.x+g, c.y-g, g)
		add(c.x-g, c.y+g, g)
		add(c.x+g, c.y+g, g)
	}
	return best
}

// clearance is the distance from (x, y) to the nearest edge or pole, negative
// outside the polygon or inside a pole.
func clearance(rings [][]orb.Point, poles []Pole, x, y float64) float64 {
	inside := false
	sq := math.Inf(1)
	for _, r := range rings {
		a := r[len(r)-1]
		for _, b := range r {
			if (a[1] > y) != (b[1] > y) && x < (b[0]-a[0])*(y-a[1])/(b[1]-a[1])+a[0] {
				inside = !inside
			}
			sq = min(sq, sqDistToSegment(x, y, a, b))
			a = b
		}
	}
	d := math.Sqrt(sq)
	if !inside {
		d = -d
	}
	for _, p := range poles {
		d = min(d, steady.Hypot(x-p.X, y-p.Y)-p.R)
	}
	return d
}

func sqDistToSegment(x, y float64, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := float64(dx*dx) + float64(dy*dy); l > 0 {
		t = max(0, min(1, (float64((x-a[0])*dx)+float64((y-a[1])*dy))/l))
	}
	ex, ey := x-a[0]-float64(t*dx), y-a[1]-float64(t*dy)
	return float64(ex*ex) + float64(ey*ey)
}
