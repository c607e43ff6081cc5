package kit_test

import (
	"fmt"

	"plyroom/nest"
	"plyroom/shapes"
)

// rect is a rectangle from the origin.
func rect(x, y float64) nest.Polygon {
	return nest.Polygon{Outline: nest.Ring{{0, 0}, {x, 0}, {x, y}, {0, y}}}
}

// fabric is a glass fabric by name, areal mass and fibre content.
func fabric(name string, c shapes.Construction, w, psi float64) shapes.Fabric {
	return shapes.Fabric{
		Name: name, Construction: c, ArealMass: w, GlassContent: psi,
		FibreDensity: 2.56, Width: 1270, Faces: shapes.SameFaces,
	}
}

// oneEach places every demanded piece on a layout of its own fabric, one
// behind the other, cut square to the warp as asked.
func oneEach(r *nest.Record) {
	byFabric := map[string]*nest.Layout{}
	at := map[string]float64{}
	sh := r.ShapesByID()
	for i, f := range r.Fabrics {
		byFabric[f.Name] = &nest.Layout{
			ID:     fmt.Sprintf("L%d", i+1),
			Layers: []nest.Layer{{Layer: 1, Fabric: f.Name, Roll: "R-" + f.Name, Lot: "lot " + f.Name, Face: "up"}},
		}
	}
	for _, d := range r.Demand {
		asked := d.DirectionDeg
		if d.OppositeHand {
			asked = -asked
		}
		x := at[d.Fabric]
		var out nest.Ring
		var right float64
		for _, p := range sh[d.Shape].Cut.Outline {
			out = append(out, nest.Point{p[0] + x, p[1]})
			right = max(right, p[0])
		}
		at[d.Fabric] = x + right + 3
		l := byFabric[d.Fabric]
		l.Placed = append(l.Placed, nest.Placed{
			Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: d.Copy, Layer: 1, Fabric: d.Fabric,
			RotationDeg: -asked, OppositeHand: d.OppositeHand, X: x, LaidDeg: asked, Outline: out,
		})
	}
	for _, f := range r.Fabrics {
		r.Layouts = append(r.Layouts, *byFabric[f.Name])
	}
}

// eightPlies is case 3 of the worked cases: eight plies of 1 m².
func eightPlies() *nest.Record {
	r := &nest.Record{
		Format: nest.Format, Units: "mm", Job: "Eight plies", Revision: "A",
		Fabrics: []shapes.Fabric{
			fabric("CSM 300", shapes.Mat, 300, 0.30),
			fabric("CSM 450", shapes.Mat, 450, 0.30),
			fabric("WR 600", shapes.Plain, 600, 0.48),
			fabric("BX 600", shapes.Biaxial, 600, 0.50),
		},
		Parts:  []nest.Part{{Part: "Panel", Units: 1}},
		Shapes: []nest.Shape{{ID: "S1", Name: "SQUARE", Net: rect(1000, 1000), Cut: rect(1000, 1000)}},
	}
	for i, f := range []string{"CSM 300", "CSM 450", "WR 600", "CSM 450", "BX 600", "CSM 450", "WR 600", "CSM 300"} {
		r.Demand = append(r.Demand, nest.Demand{
			Part: "Panel", Unit: 1, Order: i + 1, Ply: fmt.Sprintf("P%d", i+1), Copy: 1, Fabric: f, Shape: "S1",
		})
	}
	oneEach(r)
	return r
}
