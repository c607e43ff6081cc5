package demand

import (
	"fmt"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Expand lists every single piece of the job, by part, unit, order, ply and
// copy, and the distinct shapes they are cut to. The problems name plies whose
// trim cannot be added or which can be laid in no direction.
func Expand(job *shapes.Job) ([]nest.Demand, []nest.Shape, shapes.Problems) {
	var (
		pieces   []nest.Demand
		table    []nest.Shape
		problems shapes.Problems
		ids      = map[shapeKey]string{}
	)
	for _, part := range job.Parts {
		shapeOf := make([]string, len(part.Plies))
		for i, ply := range part.Plies {
			key := shapeKey{ply.Outline, ply.Trim}
			id, ok := ids[key]
			if !ok {
				s, err := shape(ply.Outline, ply.Trim, job.Cutting.ChordTolerance)
				if err != nil {
					problems = append(problems, fault(part, ply, err.Error(),
						"check the outline, or give the ply a smaller trim"))
				}
				id = fmt.Sprintf("S%d", len(table)+1)
				s.ID = id
				table = append(table, s)
				ids[key] = id
			}
			shapeOf[i] = id
			if ply.OppositeHand > 0 && len(ply.Fabric.WarpAngles(ply.Direction, true)) == 0 {
				problems = append(problems, fault(part, ply,
					fmt.Sprintf("fabric %q cannot give the mirrored stack of the opposite hand", ply.Fabric.Name),
					"list the opposite hand with a fabric of mirrored layers, or drop layer_order: matters"))
			}
		}
		for unit := 1; unit <= part.Units; unit++ {
			for i, ply := range part.Plies {
				for c := 1; c <= ply.Count; c++ {
					pieces = append(pieces, nest.Demand{
						Part: part.Name, Unit: unit, Order: ply.Order, Ply: ply.Name, Copy: c,
						Fabric: ply.Fabric.Name, Shape: shapeOf[i],
						DirectionDeg: ply.Direction, ToleranceDeg: ply.Tolerance,
						// The last of the copies are the opposite ones.
						OppositeHand: c > ply.Count-ply.OppositeHand,
						Bag:          ply.Bag, Note: ply.Note,
					})
				}
			}
		}
	}
	return pieces, table, problems
}

type shapeKey struct {
	outline *shapes.Outline
	trim    float64
}

func fault(part *shapes.Part, ply *shapes.Ply, message, hint string) shapes.Problem {
	return shapes.Problem{
		Severity: shapes.Fault, File: ply.File, Line: ply.Line,
		Ply:     fmt.Sprintf("%s, ply %s", part.Name, ply.Name),
		Message: message, Hint: hint,
	}
}

// shape rounds an outline to what the record keeps and adds the trim.
func shape(o *shapes.Outline, trim, chord float64) (nest.Shape, error) {
	s := nest.Shape{
		Name: o.Name, Trim: trim, Source: o.Source, Marks: roundMarks(o.Marks),
		Net: polygon(o.Exterior, o.Holes),
	}
	s.Cut = s.Net
	if trim == 0 {
		return s, nil
	}
	if chord <= 0 {
		chord = geom.ChordDefault
	}
	out, err := geom.Offset(o.Exterior, o.Holes, trim, chord)
	if err != nil {
		return s, fmt.Errorf("trim of %g mm cannot be added: %w", trim, err)
	}
	if len(out) != 1 {
		return s, fmt.Errorf("with a trim of %g mm the outline falls into %d pieces", trim, len(out))
	}
	s.Cut = polygon(out[0].Exterior, out[0].Holes)
	return s, nil
}

func polygon(exterior orb.Ring, holes []orb.Ring) nest.Polygon {
	p := nest.Polygon{Outline: Ring(geom.Oriented(exterior, true)), Holes: []nest.Ring{}}
	for _, h := range holes {
		p.Holes = append(p.Holes, Ring(geom.Oriented(h, false)))
	}
	return p
}

// Ring rounds a ring to the record's decimals.
func Ring(r orb.Ring) nest.Ring {
	out := make(nest.Ring, len(r))
	for i, p := range r {
		out[i] = nest.Point{nest.Round(p[0]), nest.Round(p[1])}
	}
	return out
}

func roundMarks(marks []shapes.Mark) []shapes.Mark {
	out := make([]shapes.Mark, len(marks))
	for i, m := range marks {
		line := make(orb.LineString, len(m.Line))
		for k, p := range m.Line {
			line[k] = orb.Point{nest.Round(p[0]), nest.Round(p[1])}
		}
		out[i] = shapes.Mark{Kind: m.Kind, Line: line, Text: m.Text}
	}
	return out
}
