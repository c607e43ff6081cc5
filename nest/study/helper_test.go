package study

import (
	"context"
	"fmt"
	"hash/fnv"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// rectangle is an outline w along the datum and h across it, mm.
func rectangle(name string, w, h float64) *shapes.Outline {
	return &shapes.Outline{Name: name, Exterior: orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}, Area: w * h}
}

// sampleJob has two fabrics, two parts, and a rule of every kind.
func sampleJob() *shapes.Job {
	wr := &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, ArealMass: 600, GlassContent: 0.5, FibreDensity: 2.56,
		Width: 1000, Selvedge: 10, Faces: shapes.DifferentFaces, Price: &shapes.Price{Amount: 3, Per: shapes.PerMetre},
		Rolls: []shapes.Roll{{Name: "R1", Length: 4000}}}
	mat := &shapes.Fabric{Name: "CSM 450", Construction: shapes.Mat, ArealMass: 450, GlassContent: 0.3, FibreDensity: 2.56,
		Width: 1270, Faces: shapes.SameFaces, Price: &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}}
	return &shapes.Job{Name: "Cover", Revision: "A", Currency: "EUR", Fabrics: []*shapes.Fabric{wr, mat},
		Parts: []*shapes.Part{
			{Name: "Shell", Units: 2, Plies: []*shapes.Ply{
				{Order: 1, Name: "S1", Outline: rectangle("SKIN", 900, 600), Fabric: wr, Tolerance: 3, Count: 1},
				{Order: 2, Name: "S2", Outline: rectangle("PATCH", 200, 150), Fabric: wr, Tolerance: 0, Count: 2},
				{Order: 3, Name: "S3", Outline: rectangle("SKIN2", 900, 600), Fabric: mat, Tolerance: 10, Count: 1}}},
			{Name: "Lid", Units: 4, Plies: []*shapes.Ply{
				{Order: 1, Name: "L1", Outline: rectangle("LID", 300, 250), Fabric: mat, Count: 1}}}},
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, AngleTolerance: 1, Layers: 1}}
}

// pretend stands in for the packer: plies in a row, each on a length of its
// own, with a length to spare that depends on the seed. It counts its calls.
type pretend struct{ calls int }

func (l *pretend) lay(_ context.Context, j *shapes.Job, _ int, seed uint64) (*nest.Record, error) {
	l.calls++
	rec := &nest.Record{Format: 1, Units: "mm", Job: j.Name, Revision: j.Revision, Rules: j.Cutting}
	for _, p := range j.Parts {
		rec.Parts = append(rec.Parts, nest.Part{Part: p.Name, Units: p.Units})
	}
	for _, f := range j.Fabrics {
		rec.Fabrics = append(rec.Fabrics, *f)
		h := fnv.New32()
		fmt.Fprint(h, seed, f.Name, f.Width)
		x := j.Cutting.EndAllowance
		lo := nest.Layout{ID: fmt.Sprintf("L%d", len(rec.Layouts)+1), Width: f.Width, Layers: []nest.Layer{{Layer: 1, Fabric: f.Name, Face: "up"}}}
		for _, p := range j.Parts {
			for _, d := range p.Plies {
				if d.Fabric != f {
					continue
				}
				b := d.Outline.Exterior.Bound()
				w, hgt := b.Max[0], b.Max[1]
				if hgt > f.UsableWidth() {
					return nil, &Impossible{p.Name + ", ply " + d.Name + " is too wide"}
				}
				ring := func(x, y float64) nest.Ring { return nest.Ring{{x, y}, {x + w, y}, {x + w, y + hgt}, {x, y + hgt}} }
				id := fmt.Sprintf("S%d", len(rec.Shapes)+1)
				poly := nest.Polygon{Outline: ring(0, 0)}
				rec.Shapes = append(rec.Shapes, nest.Shape{ID: id, Net: poly, Cut: poly})
				for u := range p.Units {
					for c := range d.Count {
						rec.Demand = append(rec.Demand, nest.Demand{Part: p.Name, Unit: u + 1, Order: d.Order, Ply: d.Name, Copy: c + 1, Fabric: f.Name, Shape: id})
						lo.Placed = append(lo.Placed, nest.Placed{Part: p.Name, Unit: u + 1, Ply: d.Name, Order: d.Order, Copy: c + 1,
							Layer: 1, Fabric: f.Name, X: x, Y: f.Selvedge, Outline: ring(x, f.Selvedge)})
						x += w + j.Cutting.Gap
					}
				}
			}
		}
		x += float64(h.Sum32() % 40)
		lo.Length = x + j.Cutting.EndAllowance
		lo.Usable = [2]nest.Point{{j.Cutting.EndAllowance, f.Selvedge}, {x, f.Width - f.Selvedge}}
		rec.Layouts = append(rec.Layouts, lo)
	}
	return rec, nil
}
