package verify_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
)

// many lays n plies of 40 vertices each, of 40 kinds, in cells so tight that
// the boxes of neighbours meet.
func many(n int) *nest.Record {
	b := newBench()
	rng := rand.New(rand.NewPCG(7, 7))
	const vertices, kinds, rows = 40, 40, 12
	for k := range kinds {
		var p nest.Polygon
		for i := range vertices {
			s := float64(i) / vertices * 2 * math.Pi
			r := 40 + rng.Float64()*9.5
			p.Outline = append(p.Outline, nest.Point{nest.Round(r * math.Cos(s)), nest.Round(r * math.Sin(s))})
		}
		b.shape(fmt.Sprintf("S%d", k), p)
	}
	b.layout("CSM 450")
	lay := &b.rec.Layouts[0]
	for i := range n {
		d := nest.Demand{Part: "P", Unit: 1, Order: i + 1, Ply: fmt.Sprintf("U%d", i), Copy: 1, Fabric: "CSM 450", Shape: fmt.Sprintf("S%d", rng.IntN(kinds))}
		p := nest.Placed{
			Part: d.Part, Unit: 1, Ply: d.Ply, Order: d.Order, Copy: 1, Layer: 1, Fabric: d.Fabric,
			RotationDeg: nest.Round(rng.Float64()*360 - 180), TurnedOver: rng.IntN(2) == 0,
			X: 70 + 100*float64(i/rows) + 3*float64(i%2), Y: 68 + 102*float64(i%rows),
		}
		b.rec.Demand = append(b.rec.Demand, d)
		lay.Placed = append(lay.Placed, p)
	}
	for i := range lay.Placed {
		lay.Placed[i].Outline, lay.Placed[i].Holes = b.posed(b.rec.Demand[i].Shape, &lay.Placed[i])
	}
	r := &b.rec
	r.Rules.Gap = 0.5
	r.Parts = []nest.Part{{Part: "P", Units: 1}}
	r.FabricBounds = []nest.FabricBound{{Fabric: "CSM 450"}}
	r.Search.Status = "effort spent"
	end := 0.0
	for i := range lay.Placed {
		p := &lay.Placed[i]
		for _, v := range p.Outline {
			end = max(end, v[0])
		}
		p.LaidDeg = -p.RotationDeg
		if p.TurnedOver {
			p.LaidDeg = p.RotationDeg
		}
		p.LaidDeg = nest.Round(nearest(p.LaidDeg, 180))
	}
	lay.Length, lay.Width = nest.Round(end+20), 1270
	lay.Usable = [2]nest.Point{{20, 15}, {end, 1255}}
	return r
}

func TestLargeRecordsPass(t *testing.T) {
	mustPass(t, many(2000))
}

func BenchmarkCheck(b *testing.B) {
	for _, n := range []int{1000, 2000, 10000} {
		b.Run(fmt.Sprintf("plies=%d", n), func(b *testing.B) {
			r := many(n)
			b.ReportAllocs()
			for b.Loop() {
				if vs := verify.Check(r); len(vs) > 0 {
					b.Fatal(vs[0])
				}
			}
		})
	}
}

// BenchmarkOverlap has plies that lie apart, touch along an edge, and overlap
// with all edges aligned.
func BenchmarkOverlap(b *testing.B) {
	r := many(2)
	p := nest.Polygon{Outline: r.Shapes[0].Cut.Outline}
	for _, c := range []struct {
		name string
		a, b nest.Polygon
		want bool
	}{
		{"boxes-meet", p, moved(p, 0, 70, 70), false},
		{"touching", rectangle(100, 50), moved(rectangle(100, 50), 0, 100, 0), false},
		{"equal", p, p, true},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, got := verify.Overlap(c.a, c.b); got != c.want {
					b.Fatal(got)
				}
			}
		})
	}
}
