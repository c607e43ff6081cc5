package demand

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Expand lists every single piece of the job, by part, unit, order, ply and
// copy, and the distinct shapes they are cut to. A ply that its fabric's room
// cannot take, and that the job allows to be split, is listed as its panels.
// The problems name plies whose trim cannot be added, which cannot be divided,
// or which can be laid in no direction; they also hold remarks on divided
// plies, as doubts.
func Expand(job *shapes.Job, room func(*shapes.Fabric) Room) ([]nest.Demand, []nest.Shape, shapes.Problems) {
	return ExpandDivided(job, room, nil)
}

// ExpandDivided is Expand with some plies that fit whole divided on purpose,
// each in the way stated. A ply that does not fit is divided as Expand does.
func ExpandDivided(job *shapes.Job, room func(*shapes.Fabric) Room, ways map[*shapes.Ply]Way) ([]nest.Demand, []nest.Shape, shapes.Problems) {
	x := &expander{job: job, room: room, ways: ways, whole: map[shapeKey]nest.Shape{}, ids: map[shapeKey]string{}}
	var pieces []nest.Demand
	for _, part := range job.Parts {
		items := x.part(part)
		for unit := 1; unit <= part.Units; unit++ {
			for _, it := range items {
				for c := 1; c <= it.ply.Count; c++ {
					d := it.demand
					d.Part, d.Unit, d.Copy = part.Name, unit, c
					// The last of the copies are the opposite ones.
					d.OppositeHand = c > it.ply.Count-it.ply.OppositeHand
					pieces = append(pieces, d)
				}
			}
		}
	}
	return pieces, x.table, x.problems
}

// item is one ply or panel of a part, for one unit and copy.
type item struct {
	ply    *shapes.Ply
	demand nest.Demand
}

type expander struct {
	job      *shapes.Job
	room     func(*shapes.Fabric) Room
	ways     map[*shapes.Ply]Way
	whole    map[shapeKey]nest.Shape
	ids      map[shapeKey]string
	table    []nest.Shape
	problems shapes.Problems
}

func (x *expander) part(part *shapes.Part) []item {
	var items []item
	var before *shapes.Ply // the ply laid just before, with its seams
	var beforeSeams *seams
	for _, ply := range part.Plies {
		base := nest.Demand{
			Order: ply.Order, Ply: ply.Name, Fabric: ply.Fabric.Name,
			DirectionDeg: ply.Direction, ToleranceDeg: ply.Tolerance, Bag: ply.Bag, Note: ply.Note,
		}
		if ply.OppositeHand > 0 && len(ply.Fabric.WarpAngles(ply.Direction, true)) == 0 {
			x.fault(part, ply, fmt.Sprintf("fabric %q cannot give the mirrored stack of the opposite hand", ply.Fabric.Name),
				"list the opposite hand with a fabric of mirrored layers, or drop layer_order: matters")
		}
		s, ok := x.shape(part, ply)
		if !ok {
			continue
		}
		room := x.room(ply.Fabric)
		fit := ply.Split == nil || fits(s.Cut, ply, room, x.job.Cutting.AngleTolerance)
		way, purpose := x.ways[ply]
		if purpose = purpose && fit && ply.Split != nil; fit && !purpose {
			base.Shape = x.id(shapeKey{ply.Outline, ply.Trim}, s)
			items = append(items, item{ply, base})
			before, beforeSeams = ply, nil
			continue
		}
		var keep *seams
		if before != nil && before.Outline == ply.Outline {
			keep = beforeSeams
		}
		var found *seams
		var err error
		if purpose {
			found, err = onPurpose(ply, s, room, keep, way)
		} else {
			found, err = divide(ply, s, room, keep)
		}
		var pieces []nest.Shape
		if err == nil {
			pieces, err = panels(s, found)
		}
		if err != nil {
			x.fault(part, ply, fmt.Sprintf("it does not fit fabric %q and cannot be split: %v", ply.Fabric.Name, err),
				"use a wider roll, change the split, or draw the panels")
			continue
		}
		x.remark(part, ply, found, before, beforeSeams)
		whole := x.id(shapeKey{ply.Outline, ply.Trim}, s)
		for i, p := range pieces {
			d := base
			d.Ply = panelName(part, ply, i+1)
			d.Panel = &nest.Panel{Ply: ply.Name, Number: i + 1, Of: len(pieces), Whole: whole, OnPurpose: purpose,
				Joint: found.joint, Overlap: found.lap, LeastWidth: ply.Split.MinPanel, Stagger: ply.Split.Stagger,
				AxisDeg: found.axis, Seams: roundAll(found.across), CrossSeams: roundAll(found.along),
				Free: found.freeSeams(s.Cut)}
			p.ID = fmt.Sprintf("S%d", len(x.table)+1)
			x.table = append(x.table, p)
			d.Shape = p.ID
			items = append(items, item{ply, d})
		}
		before, beforeSeams = ply, found
	}
	return items
}

// roundAll rounds to what the record keeps; none stay none.
func roundAll(v []float64) []float64 {
	var out []float64
	for _, x := range v {
		out = append(out, nest.Round(x))
	}
	return out
}

// panelName is the ply's name with a suffix that no other ply of the part has.
func panelName(part *shapes.Part, ply *shapes.Ply, n int) string {
	name := fmt.Sprintf("%s-%d", ply.Name, n)
	for slices.ContainsFunc(part.Plies, func(p *shapes.Ply) bool { return p.Name == name }) {
		name += " panel"
	}
	return name
}

// remark tells what the job should know of a divided ply.
func (x *expander) remark(part *shapes.Part, ply *shapes.Ply, found *seams, before *shapes.Ply, beforeSeams *seams) {
	add := func(message, hint string) {
		p := fault(part, ply, message, hint)
		p.Severity = shapes.Doubt
		x.problems = append(x.problems, p)
	}
	if ply.Split.Joint == shapes.JointLap && found.joint == shapes.JointButt {
		add("its panels are butted, not lapped: unidirectional fibre is not doubled", "say joint: butt to be clear")
	}
	if beforeSeams != nil && before.Outline != ply.Outline {
		add(fmt.Sprintf("it follows ply %s, split as well, of another outline: their seams are not staggered", before.Name),
			"look that the seams do not fall together")
	}
}

// Fits reports whether a shape as cut has room for a piece in one of its turns.
func Fits(cut nest.Polygon, d nest.Demand, f *shapes.Fabric, room Room, angleTolerance float64) bool {
	ply := &shapes.Ply{Fabric: f, Direction: d.DirectionDeg, Tolerance: d.ToleranceDeg}
	if d.OppositeHand {
		faceDown, _ := f.FaceDown()
		along := LeastAlong(Extents(toOrb(cut.Outline), Turns(f, d, angleTolerance, faceDown)), room.Width)
		return !math.IsInf(along, 1) && along <= room.Length+FitSlack
	}
	return fits(cut, ply, room, angleTolerance)
}

// fits reports whether a shape has room in one of its turns.
func fits(cut nest.Polygon, ply *shapes.Ply, room Room, angleTolerance float64) bool {
	d := nest.Demand{DirectionDeg: ply.Direction, ToleranceDeg: ply.Tolerance}
	faceDown, _ := ply.Fabric.FaceDown()
	es := Extents(toOrb(cut.Outline), Turns(ply.Fabric, d, angleTolerance, faceDown))
	along := LeastAlong(es, room.Width)
	return !math.IsInf(along, 1) && along <= room.Length+FitSlack
}

// shape is the ply's whole shape, prepared once for each outline and trim.
func (x *expander) shape(part *shapes.Part, ply *shapes.Ply) (nest.Shape, bool) {
	key := shapeKey{ply.Outline, ply.Trim}
	if s, ok := x.whole[key]; ok {
		return s, true
	}
	s, err := shape(ply.Outline, ply.Trim, x.job.Cutting.ChordTolerance)
	if err != nil {
		x.fault(part, ply, err.Error(), "check the outline, or give the ply a smaller trim")
		return s, false
	}
	s.Source = beside(x.job.File, s.Source)
	x.whole[key] = s
	return s, true
}

// id lists a whole shape in the table at its first use.
func (x *expander) id(key shapeKey, s nest.Shape) string {
	id, ok := x.ids[key]
	if !ok {
		id = fmt.Sprintf("S%d", len(x.table)+1)
		s.ID = id
		x.table = append(x.table, s)
		x.ids[key] = id
	}
	return id
}

func (x *expander) fault(part *shapes.Part, ply *shapes.Ply, message, hint string) {
	x.problems = append(x.problems, fault(part, ply, message, hint))
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

// beside takes the folder of the job file off the front of a source, so that a
// record does not depend on how the job was named.
func beside(jobFile, source string) string {
	dir := filepath.Dir(jobFile)
	if jobFile == "" || dir == "." {
		return source
	}
	return strings.TrimPrefix(source, strings.TrimSuffix(dir, string(filepath.Separator))+string(filepath.Separator))
}
