package verify_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/verify"
)

// More random layouts than rapid's own 100, unless the command line says
// otherwise.
func init() {
	for name, value := range map[string]string{"rapid.checks": "500", "rapid.nofailfile": "true"} {
		if err := flag.Set(name, value); err != nil {
			panic(err)
		}
	}
}

// cells lays random polygons in the cells of a grid, each turned by a quarter
// turn, some turned over, some of the opposite hand: a layout that passes.
func cells(t *rapid.T) *bench {
	b := newBench()
	columns, rows := rapid.IntRange(1, 4).Draw(t, "columns"), rapid.IntRange(1, 3).Draw(t, "rows")
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	cell := 300.0
	b.layout("WR 600")
	for i := range columns * rows {
		id := fmt.Sprintf("S%d", i)
		p := anyPolygon(rng)
		for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
			for k, v := range r {
				r[k] = nest.Point{nest.Round(v[0] * 120), nest.Round(v[1] * 120)}
			}
		}
		if _, ok := outside(p); !ok || len(p.Outline) < 3 || signedArea(p.Outline) <= 0 {
			p = rectangle(100, 70+float64(i))
		}
		b.shape(id, p)
		l := lay{
			ply: fmt.Sprintf("U%02d", i), shape: id, rotation: float64(rng.IntN(4)-2) * 90,
			turned: rng.IntN(2) == 0, opposite: rng.IntN(2) == 0, direction: float64(rng.IntN(2)) * 90,
		}
		// Lay it where the lower left of its box is that of the cell.
		b.piece(l)
		placed := &b.rec.Layouts[0].Placed[i]
		lo := nest.Point{math.Inf(1), math.Inf(1)}
		for _, v := range placed.Outline {
			lo = nest.Point{min(lo[0], v[0]), min(lo[1], v[1])}
		}
		placed.X = nest.Round(20 + cell*float64(i/rows) - lo[0])
		placed.Y = nest.Round(15 + cell*float64(i%rows) - lo[1])
		placed.Outline, placed.Holes = b.posed(id, placed)
	}
	b.finish()
	return b
}

func signedArea(r nest.Ring) float64 {
	sum := 0.0
	for i, v := range r {
		w := r[(i+1)%len(r)]
		sum += v[0]*w[1] - v[1]*w[0]
	}
	return sum / 2
}

// named lists the plies that violations of the given rules name; all rules
// where none is given.
func named(vs []verify.Violation, rules ...verify.Rule) map[string]bool {
	out := map[string]bool{}
	for _, v := range vs {
		if len(rules) == 0 || slices.Contains(rules, v.Rule) {
			for _, k := range v.Plies {
				out[k.Ply] = true
			}
		}
	}
	return out
}

func clean(t *rapid.T, r *nest.Record) {
	for _, v := range verify.Check(r) {
		t.Fatalf("unexpected: %s", v)
	}
}

// Whatever is done to one ply, the ply is named.
func TestMutationsAreNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := cells(t)
		r := &b.rec
		clean(t, r)
		lay := &r.Layouts[0]
		i := rapid.IntRange(0, len(lay.Placed)-1).Draw(t, "ply")
		p := &lay.Placed[i]
		name := p.Ply
		var rules []verify.Rule
		what := rapid.SampledFrom([]string{
			"drop", "duplicate", "swap", "turn over", "change hand", "change fabric", "turn", "turn a little", "change order",
			"tamper", "shift outline", "shift position", "lose a vertex", "laid", "deviation", "demand another direction",
		}).Draw(t, "what")
		switch what {
		case "drop":
			lay.Placed = slices.Delete(lay.Placed, i, i+1)
			rules = []verify.Rule{verify.RuleDemand}
		case "duplicate":
			lay.Placed = append(lay.Placed, *p)
			rules = []verify.Rule{verify.RuleDemand}
		case "swap":
			j := rapid.IntRange(0, len(lay.Placed)-1).Draw(t, "other")
			if i == j {
				return
			}
			// The names change places, all else stays.
			q := &lay.Placed[j]
			if sameRing(r.Shapes[i].Cut.Outline, r.Shapes[j].Cut.Outline) {
				return
			}
			p.Ply, q.Ply = q.Ply, p.Ply
			p.Order, q.Order = q.Order, p.Order
			if p.OppositeHand != q.OppositeHand {
				rules = []verify.Rule{verify.RuleDemand}
			} else {
				rules = []verify.Rule{verify.RuleOutline}
			}
		case "turn over":
			p.TurnedOver = !p.TurnedOver
			if ring, _ := b.posed(r.Demand[i].Shape, p); sameRing(ring, p.Outline) {
				return // the shape is its own mirror image
			}
			rules = []verify.Rule{verify.RuleOutline}
		case "change hand":
			p.OppositeHand = !p.OppositeHand
			p.Outline, p.Holes = b.posed(r.Demand[i].Shape, p)
			b.angles(p)
			rules = []verify.Rule{verify.RuleDemand}
		case "change fabric":
			p.Fabric = "WR 300"
			rules = []verify.Rule{verify.RuleDemand}
		case "turn":
			p.RotationDeg = nest.Round(p.RotationDeg + rapid.Float64Range(0.001, 44).Draw(t, "by"))
			if p.RotationDeg >= 180 {
				p.RotationDeg -= 360
			}
			p.Outline, p.Holes = b.posed(r.Demand[i].Shape, p)
			b.angles(p)
			rules = []verify.Rule{verify.RuleDirection}
		case "turn a little":
			// 4e-6° on a radius of some 10 mm is 1e-6 mm: only the direction
			// can tell.
			p.RotationDeg += 4e-6
			b.angles(p)
			rules = []verify.Rule{verify.RuleDirection}
		case "change order":
			p.Order++
			rules = []verify.Rule{verify.RuleDemand}
		case "tamper":
			k := rapid.IntRange(0, len(p.Outline)-1).Draw(t, "vertex")
			by := rapid.Float64Range(1e-5, 10).Draw(t, "by")
			p.Outline[k][rapid.IntRange(0, 1).Draw(t, "axis")] += by
			rules = []verify.Rule{verify.RuleOutline}
		case "shift outline":
			by := rapid.Float64Range(1e-5, 10).Draw(t, "by")
			for k := range p.Outline {
				p.Outline[k][1] += by
			}
			rules = []verify.Rule{verify.RuleOutline}
		case "shift position":
			p.X += rapid.Float64Range(1e-5, 10).Draw(t, "by")
			rules = []verify.Rule{verify.RuleOutline}
		case "lose a vertex":
			p.Outline = p.Outline[1:]
			rules = []verify.Rule{verify.RuleOutline}
		case "laid":
			p.LaidDeg += rapid.Float64Range(1e-5, 90).Draw(t, "by")
			rules = []verify.Rule{verify.RuleDirection}
		case "deviation":
			p.DeviationDeg += rapid.Float64Range(1e-5, 90).Draw(t, "by")
			rules = []verify.Rule{verify.RuleDirection}
		case "demand another direction":
			r.Demand[i].DirectionDeg += rapid.Float64Range(1e-5, 89).Draw(t, "by")
			rules = []verify.Rule{verify.RuleDirection}
		}
		vs := verify.Check(r)
		if !named(vs, rules...)[name] {
			t.Fatalf("%s of %s is not named under %v: %v", what, name, rules, vs)
		}
	})
}

// sameRing reports whether two rings have the same vertices, begun anywhere.
func sameRing(a, b nest.Ring) bool {
	if len(a) != len(b) {
		return false
	}
	for k := range b {
		if slices.Equal(a, append(slices.Clone(b[k:]), b[:k]...)) {
			return true
		}
	}
	return false
}

// A ply moved anywhere, outline and position alike, breaks just those of rules
// 4 to 6 that the outside library says it breaks.
func TestMovesAgainstOutsideLibrary(t *testing.T) {
	const gap = 3.0
	rapid.Check(t, func(t *rapid.T) {
		b := cells(t)
		lay := &b.rec.Layouts[0]
		i := rapid.IntRange(0, len(lay.Placed)-1).Draw(t, "ply")
		p := &lay.Placed[i]
		p.X = nest.Round(p.X + rapid.Float64Range(-400, 400).Draw(t, "dx"))
		p.Y = nest.Round(p.Y + rapid.Float64Range(-400, 400).Draw(t, "dy"))
		p.Outline, p.Holes = b.posed(b.rec.Demand[i].Shape, p)
		vs := verify.Check(&b.rec)
		for _, v := range vs {
			if !slices.Contains([]verify.Rule{verify.RuleOverlap, verify.RuleGap, verify.RuleInside}, v.Rule) {
				t.Fatalf("unexpected: %s", v)
			}
		}
		pair := func(rule verify.Rule, other string) bool {
			return slices.ContainsFunc(vs, func(v verify.Violation) bool {
				return v.Rule == rule && names(v, []string{p.Ply, other})
			})
		}
		mine, _ := outside(nest.Polygon{Outline: p.Outline, Holes: p.Holes})
		for j := range lay.Placed {
			if j == i {
				continue
			}
			q := &lay.Placed[j]
			other, _ := outside(nest.Polygon{Outline: q.Outline, Holes: q.Holes})
			common, err := geom.Intersection(mine, other)
			if err != nil {
				t.Skip(err)
			}
			apart, _ := geom.Distance(mine, other)
			area := common.Area()
			if area > 1e-3 != pair(verify.RuleOverlap, q.Ply) && (area > 1e-3 || area == 0) {
				t.Fatalf("%s and %s share %g mm²: %v", p.Ply, q.Ply, area, vs)
			}
			if bad := apart < gap-verify.GapTolerance && area == 0; bad != pair(verify.RuleGap, q.Ply) && math.Abs(apart-(gap-verify.GapTolerance)) > 1e-8 && (bad || area == 0) {
				t.Fatalf("%s and %s are %g mm apart: %v", p.Ply, q.Ply, apart, vs)
			}
		}
		lo, hi, _ := mine.Envelope().MinMaxXYs()
		u := lay.Usable
		past := max(u[0][0]-lo.X, u[0][1]-lo.Y, hi.X-u[1][0], hi.Y-u[1][1])
		if bad := past > verify.RoundingAllowance; bad != named(vs, verify.RuleInside)[p.Ply] && math.Abs(past-verify.RoundingAllowance) > 1e-8 {
			t.Fatalf("%s is %g mm outside: %v", p.Ply, past, vs)
		}
	})
}
