package verify_test

import (
	"math"
	"slices"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// divided is a trapezium cut along its warp at y 400, lapped by 50 or butted:
//
//	+----------------+ 900, 800
//	|     panel 2     \
//	+------------------+  y 400
//	|     panel 1       \
//	+--------------------+ 1000, 0
func divided(joint shapes.JointKind) *bench {
	b := newBench()
	panel := nest.Panel{Ply: "U", Of: 2, Whole: "whole", Joint: joint, Seams: []float64{400}}
	low := nest.Ring{{0, 0}, {1000, 0}, {950, 400}, {0, 400}}
	high := nest.Ring{{0, 400}, {950, 400}, {900, 800}, {0, 800}}
	if joint == shapes.JointLap {
		panel.Overlap = 50
		low = nest.Ring{{0, 0}, {1000, 0}, {946.875, 425}, {0, 425}}
		high = nest.Ring{{0, 375}, {953.125, 375}, {900, 800}, {0, 800}}
	}
	b.shape("low", nest.Polygon{Outline: low})
	b.shape("high", nest.Polygon{Outline: high})
	b.shape("whole", nest.Polygon{Outline: nest.Ring{{0, 0}, {1000, 0}, {900, 800}, {0, 800}}})
	if joint == shapes.JointLap {
		// Beyond the seam each is 25 high, and as wide on average as half way.
		b.rec.Shapes[0].LapArea = 25 * (950 - 25*0.125/2)
		b.rec.Shapes[1].LapArea = 25 * (950 + 25*0.125/2)
	}
	b.layout("WR 600")
	b.piece(lay{ply: "U-1", shape: "low", order: 1, x: 20, y: 15})
	b.piece(lay{ply: "U-2", shape: "high", order: 1, x: 20, y: 68})
	for i := range b.rec.Demand {
		p := panel
		p.Number = i + 1
		b.rec.Demand[i].Panel = &p
	}
	return b
}

// each changes the panels of all demands.
func each(r *nest.Record, change func(p *nest.Panel)) {
	for i := range r.Demand {
		change(r.Demand[i].Panel)
	}
}

// reshape gives a shape another outline and follows with the placed ply.
func reshape(b *bench, r *nest.Record, i int, outline nest.Ring) {
	r.Shapes[i].Cut.Outline = outline
	r.Shapes[i].Net = r.Shapes[i].Cut
	move(b, r, i, 0, 0)
}

func TestPanels(t *testing.T) {
	for _, joint := range []shapes.JointKind{shapes.JointLap, shapes.JointButt} {
		t.Run(string(joint), func(t *testing.T) { mustPass(t, divided(joint).finish()) })
	}
	for _, m := range []struct {
		name   string
		joint  shapes.JointKind
		change func(b *bench, r *nest.Record)
		words  string
	}{
		{"numbered twice", shapes.JointLap, func(_ *bench, r *nest.Record) { r.Demand[1].Panel.Number = 1 }, "outside the count or twice"},
		{"one of three", shapes.JointLap, func(_ *bench, r *nest.Record) { each(r, func(p *nest.Panel) { p.Of = 3 }) }, "2 are demanded"},
		{"another order", shapes.JointLap, func(_ *bench, r *nest.Record) { r.Demand[1].Order = 2 }, "differ in fabric, order"},
		{"another seam", shapes.JointLap, func(_ *bench, r *nest.Record) { r.Demand[1].Panel.Seams = []float64{401} }, "differ in their seams"},
		{"a joint unheard of", shapes.JointLap, func(_ *bench, r *nest.Record) { each(r, func(p *nest.Panel) { p.Joint = "glue" }) }, `"glue"`},
		{"butted and lapped", shapes.JointLap, func(_ *bench, r *nest.Record) { each(r, func(p *nest.Panel) { p.Joint = "butt" }) }, "overlap by 50 mm"},
		{"seams falling", shapes.JointLap, func(_ *bench, r *nest.Record) { each(r, func(p *nest.Panel) { p.Seams = []float64{400, 300} }) }, "rising order"},
		{"seams off the warp", shapes.JointLap, func(_ *bench, r *nest.Record) { each(r, func(p *nest.Panel) { p.AxisDeg = 10 }) }, "10° off the warp"},
		{"unidirectional, lapped", shapes.JointLap, func(_ *bench, r *nest.Record) { r.Fabrics[1].Construction = shapes.Unidirectional }, "butted along the fibre"},
		{"unidirectional, cut across", shapes.JointButt, func(_ *bench, r *nest.Record) {
			r.Fabrics[1].Construction = shapes.Unidirectional
			each(r, func(p *nest.Panel) { p.CrossSeams = []float64{500} })
		}, "1 seams across the fibre"},
		{"out of its field", shapes.JointLap, func(b *bench, r *nest.Record) {
			reshape(b, r, 0, nest.Ring{{0, 0}, {1000, 0}, {946.75, 426}, {0, 426}})
		}, "1 mm out of its field"},
		{"down out of its field", shapes.JointLap, func(b *bench, r *nest.Record) {
			reshape(b, r, 1, nest.Ring{{0, 373}, {953.375, 373}, {900, 800}, {0, 800}})
		}, "2 mm out of its field"},
		{"lap missing", shapes.JointLap, func(b *bench, r *nest.Record) {
			reshape(b, r, 0, nest.Ring{{0, 0}, {1000, 0}, {950, 400}, {0, 400}})
		}, "do not meet"},
		{"a step at the seam", shapes.JointLap, func(b *bench, r *nest.Record) {
			reshape(b, r, 0, nest.Ring{{50, 0}, {1000, 0}, {946.875, 425}, {50, 425}})
		}, "50 mm of it has a panel on one side only"},
		{"a step at the butt", shapes.JointButt, func(b *bench, r *nest.Record) {
			reshape(b, r, 0, nest.Ring{{50, 0}, {1000, 0}, {950, 400}, {50, 400}})
		}, "50 mm of it has a panel on one side only"},
		{"the whole is not there", shapes.JointLap, func(_ *bench, r *nest.Record) {
			each(r, func(p *nest.Panel) { p.Whole = "gone" })
		}, `does not hold the whole of ply U, shape "gone"`},
		{"one of another whole", shapes.JointLap, func(_ *bench, r *nest.Record) { r.Demand[1].Panel.Whole = "low" }, "differ in the whole they make up"},
		{"a corner is missing", shapes.JointLap, func(b *bench, r *nest.Record) {
			reshape(b, r, 1, nest.Ring{{0, 375}, {953.125, 375}, {900, 800}, {100, 800}, {0, 700}})
		}, "5000.0 mm² are missing"},
		{"more than the whole", shapes.JointButt, func(b *bench, r *nest.Record) {
			reshape(b, r, 0, nest.Ring{{0, 0}, {500, -20}, {1000, 0}, {950, 400}, {0, 400}})
		}, "10000.0 mm² are missing, or are there and should not be"},
		{"a cut-out the whole has not", shapes.JointButt, func(b *bench, r *nest.Record) {
			r.Shapes[0].Cut.Holes = []nest.Ring{{{400, 100}, {400, 200}, {500, 200}, {500, 100}}}
			r.Shapes[0].Net = r.Shapes[0].Cut
		}, "10000.0 mm² are missing"},
		{"narrower than allowed", shapes.JointLap, func(_ *bench, r *nest.Record) {
			each(r, func(p *nest.Panel) { p.LeastWidth = 430 })
		}, "a panel of 425 mm between 0 and 425, narrower than the 430 mm allowed"},
		{"one may be narrower", shapes.JointLap, func(_ *bench, r *nest.Record) { r.Demand[1].Panel.LeastWidth = 10 }, "in narrowest panel or stagger"},
		{"a stagger of nothing on earth", shapes.JointLap, func(_ *bench, r *nest.Record) {
			each(r, func(p *nest.Panel) { p.Stagger = math.Inf(1) })
		}, "its stagger +Inf mm"},
		{"short of the butt", shapes.JointButt, func(b *bench, r *nest.Record) {
			reshape(b, r, 0, nest.Ring{{0, 0}, {1000, 0}, {951.25, 390}, {0, 390}})
		}, "950 mm of it has a panel on one side only"},
	} {
		t.Run(m.name, func(t *testing.T) {
			b := divided(m.joint)
			r := b.finish()
			m.change(b, r)
			mustBreak(t, r, verify.RulePanel, m.words)
		})
	}
}

// A panel that is dropped from the demand is missed, though nothing placed is.
func TestPanelDropped(t *testing.T) {
	r := divided(shapes.JointLap).finish()
	r.Demand = slices.Delete(r.Demand, 1, 2)
	r.Layouts[0].Placed = slices.Delete(r.Layouts[0].Placed, 1, 2)
	mustBreak(t, r, verify.RulePanel, "one of 2 panels of ply U; 1 are demanded", "U-1")
}

// The lap that a panel states is measured anew.
func TestLapArea(t *testing.T) {
	for _, off := range []float64{-1000, 1000} {
		r := divided(shapes.JointLap).finish()
		r.Shapes[1].LapArea += off
		mustBreak(t, r, verify.RulePanel, "23789.1 mm² of it lie beyond its seams", "U-2")
	}
	r := divided(shapes.JointButt).finish()
	r.Shapes[0].LapArea = 500
	mustBreak(t, r, verify.RulePanel, "states a lap of 500 mm²; 0 mm²", "U-1")
}

// Two by two panels of a square with a cut-out over the crossing of the seams.
func TestPanelsInTwoDirections(t *testing.T) {
	b := newBench()
	b.layout("WR 600")
	corner := func(sx, sy float64) nest.Polygon {
		// The lap reaches 25 over both seams; the cut-out is 100 wide.
		r := nest.Ring{{-25, 50}, {-25, 500}, {500, 500}, {500, -25}, {50, -25}, {50, 50}}
		slices.Reverse(r)
		for i, v := range r {
			r[i] = nest.Point{v[0] * sx, v[1] * sy}
		}
		if sx*sy < 0 {
			slices.Reverse(r)
		}
		return nest.Polygon{Outline: r}
	}
	for i, s := range [4]nest.Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
		id := string(rune('a' + i))
		b.shape(id, corner(s[0], s[1]))
		b.rec.Shapes[i].LapArea = 2 * 25 * 450 // beyond each seam, outside the cut-out
		b.piece(lay{ply: id, shape: id, order: 1, x: 550 + 30*s[0], y: 550 + 30*s[1]})
		b.rec.Demand[i].Panel = &nest.Panel{Ply: "U", Number: i + 1, Of: 4, Whole: "whole", Joint: shapes.JointLap, Overlap: 50, Seams: []float64{0}, CrossSeams: []float64{0}}
	}
	b.shape("whole", nest.Polygon{Outline: nest.Ring{{-500, -500}, {500, -500}, {500, 500}, {-500, 500}},
		Holes: []nest.Ring{{{-50, -50}, {-50, 50}, {50, 50}, {50, -50}}}})
	r := b.finish()
	mustPass(t, r)
	// The whole has no cut-out: where the laps cross it is missing four times.
	hole := r.Shapes[4].Cut.Holes
	r.Shapes[4].Cut.Holes, r.Shapes[4].Net.Holes = []nest.Ring{}, []nest.Ring{}
	mustBreak(t, r, verify.RulePanel, "22500.0 mm² are missing")
	r.Shapes[4].Cut.Holes, r.Shapes[4].Net.Holes = hole, hole
	// Short at its far end along the one seam, then along the other.
	for axis := range 2 {
		cut := slices.Clone(r.Shapes[3].Cut.Outline)
		keep := r.Shapes[3].Cut.Outline
		for i := range cut {
			if cut[i][axis] == 500 {
				cut[i][axis] = 480
			}
		}
		r.Shapes[3].Cut.Outline = cut
		mustBreak(t, r, verify.RulePanel, "20 mm of it has a panel on one side only")
		r.Shapes[3].Cut.Outline = keep
	}
}

// Seams follow the warp in the shape's own frame, for either hand, whatever
// the direction: all of a divided ply turned by 30°, asked at 30°.
func TestPanelsOfBothHandsAtAnAngle(t *testing.T) {
	for _, opposite := range []bool{false, true} {
		b := divided(shapes.JointLap)
		placed := b.rec.Layouts[0].Placed
		whole := rounded(moved(b.rec.Shapes[2].Cut, 30, 0, 0))
		b.rec.Shapes[2].Cut, b.rec.Shapes[2].Net = whole, whole
		for i := range placed {
			b.rec.Shapes[i].Cut = rounded(moved(b.rec.Shapes[i].Cut, 30, 0, 0))
			b.rec.Shapes[i].Net = b.rec.Shapes[i].Cut
			b.rec.Demand[i].DirectionDeg, b.rec.Demand[i].OppositeHand = 30, opposite
			b.rec.Demand[i].Panel.AxisDeg = 30
			placed[i].RotationDeg, placed[i].OppositeHand = -30, opposite
			if opposite {
				placed[i].RotationDeg = 30
				placed[i].Y = [2]float64{445, 1300}[i]
			}
			placed[i].Outline, placed[i].Holes = b.posed(b.rec.Demand[i].Shape, &placed[i])
		}
		r := b.finish()
		mustPass(t, r)
		for i := range r.Demand {
			r.Demand[i].Panel.AxisDeg = -30
		}
		mustBreak(t, r, verify.RulePanel, "off the warp")
	}
}

// A fabric that is laid a quarter turn off when it is turned over may have its
// seams that way.
func TestPanelsTurnedOver(t *testing.T) {
	b := divided(shapes.JointLap)
	b.rec.Fabrics[1].Construction, b.rec.Fabrics[1].Balanced = shapes.Biaxial, false
	b.rec.Fabrics[1].Layers = stack("0:300 90:300")
	placed := b.rec.Layouts[0].Placed
	for i := range placed {
		b.rec.Demand[i].DirectionDeg = 90
		placed[i].TurnedOver = true
		placed[i].Y = [2]float64{445, 1300}[i]
		placed[i].Outline, placed[i].Holes = b.posed(b.rec.Demand[i].Shape, &placed[i])
	}
	r := b.finish()
	for i := range placed {
		placed[i].DeviationDeg = 0 // finish knows nothing of the quarter turn
	}
	mustPass(t, r)
	r.Fabrics[1].Faces = shapes.DifferentFaces
	mustBreak(t, r, verify.RulePanel, "90° off the warp")
}

// A butted seam that runs on along a step of the outline: the record says
// where, and only there may a panel lie on one side.
//
//	+-------------+ 800
//	|   panel 2   |
//	+-------------+------+  y 400
//	|   panel 1          |
//	+--------------------+
//	              700    1000
func TestPanelsAtAStep(t *testing.T) {
	step := func(free ...[2]nest.Point) (*bench, *nest.Record) {
		b := divided(shapes.JointButt)
		r := b.finish()
		r.Shapes[2].Cut.Outline = nest.Ring{{0, 0}, {1000, 0}, {1000, 400}, {700, 400}, {700, 800}, {0, 800}}
		r.Shapes[2].Net = r.Shapes[2].Cut
		reshape(b, r, 0, nest.Ring{{0, 0}, {1000, 0}, {1000, 400}, {0, 400}})
		reshape(b, r, 1, nest.Ring{{0, 400}, {700, 400}, {700, 800}, {0, 800}})
		each(r, func(p *nest.Panel) { p.Free = free })
		return b, r
	}
	along := [2]nest.Point{{700, 400}, {1000, 400}}
	b, _ := step(along)
	mustPass(t, b.finish())
	_, r := step()
	mustBreak(t, r, verify.RulePanel, "300 mm of it has a panel on one side only")
	// A step said to be longer, or elsewhere.
	_, r = step([2]nest.Point{{650, 400}, {1000, 400}})
	mustBreak(t, r, verify.RulePanel, "50 mm of it")
	_, r = step([2]nest.Point{{700, 390}, {1000, 390}})
	mustBreak(t, r, verify.RulePanel, "300 mm of it")
	// The panel above falls short of the seam beside the step.
	b, r = step(along)
	reshape(b, r, 1, nest.Ring{{0, 410}, {700, 410}, {700, 800}, {0, 800}})
	mustBreak(t, r, verify.RulePanel, "700 mm of it")
	_, r = step(along)
	r.Demand[1].Panel.Free = nil
	mustBreak(t, r, verify.RulePanel, "differ in their seams")
	_, r = step([2]nest.Point{{700, 400}, {math.Inf(1), 400}})
	mustBreak(t, r, verify.RulePanel, "out of range")
}

// Two plies of one outline, one on the other: their seams lie a stagger apart,
// unless another ply lies between, or their outlines or axes are others.
func TestStagger(t *testing.T) {
	two := func(at, stagger float64) *nest.Record {
		b := divided(shapes.JointButt)
		each(&b.rec, func(p *nest.Panel) { p.Stagger = stagger })
		x := 1000 - at/8
		b.shape("low 2", nest.Polygon{Outline: nest.Ring{{0, 0}, {1000, 0}, {x, at}, {0, at}}})
		b.shape("high 2", nest.Polygon{Outline: nest.Ring{{0, at}, {x, at}, {900, 800}, {0, 800}}})
		for i, id := range []string{"low 2", "high 2"} {
			b.piece(lay{ply: "V-" + string(rune('1'+i)), shape: id, order: 2, x: 1030, y: 15 + 3*float64(i)})
			p := *b.rec.Demand[0].Panel
			p.Ply, p.Number, p.Seams = "V", i+1, []float64{at}
			b.rec.Demand[2+i].Panel = &p
		}
		return b.finish()
	}
	mustPass(t, two(500, 100))
	mustPass(t, two(300, 100))
	mustPass(t, two(400, 0))
	mustBreak(t, two(499, 100), verify.RulePanel, "seams of plies U and V lie 99 mm apart; consecutive plies of one outline are staggered by 100 mm", "V-1", "U-1")
	mustBreak(t, two(400, 100), verify.RulePanel, "lie 0 mm apart")

	// Another outline.
	r := two(400, 100)
	other := r.Shapes[2]
	other.ID, other.Name = "other", "other"
	r.Shapes = append(r.Shapes, other)
	r.Demand[2].Panel.Whole, r.Demand[3].Panel.Whole = "other", "other"
	mustPass(t, r)
	// A whole ply between them in the lay-up.
	r = two(400, 100)
	for i := range r.Demand {
		if r.Demand[i].Order == 2 {
			r.Demand[i].Order = 3
		}
	}
	for i := range r.Layouts[0].Placed {
		if r.Layouts[0].Placed[i].Order == 2 {
			r.Layouts[0].Placed[i].Order = 3
		}
	}
	mustBreak(t, r, verify.RulePanel, "lie 0 mm apart") // orders may have gaps
}

// What is divided on purpose is said to be, with figures that agree, and saves
// what its seams must.
func TestDivisions(t *testing.T) {
	purpose := func() *nest.Record {
		r := divided(shapes.JointLap).finish()
		each(r, func(p *nest.Panel) { p.OnPurpose = true })
		r.Divisions = []nest.Division{{Fabric: "WR 600", WholeLength: 2000, WholeDrawn: 2.54e6, Length: 1500, Drawn: 1.905e6, Asked: 127000,
			Plies: []nest.DividedPly{{Part: "P", Ply: "U", Panels: 2, Pieces: 1, LapArea: 2 * 25 * 950}}}}
		return r
	}
	mustPass(t, purpose())
	for _, m := range []struct {
		words  string
		change func(r *nest.Record)
	}{
		{"does not say what that saves", func(r *nest.Record) { r.Divisions = nil }},
		{"none such is demanded", func(r *nest.Record) { each(r, func(p *nest.Panel) { p.OnPurpose = false }) }},
		{"in 2 panels 2 times; demanded are 1", func(r *nest.Record) { r.Divisions = append(r.Divisions, r.Divisions[0]) }},
		{`is of fabric "WR 600", not "CSM 450"`, func(r *nest.Record) { r.Divisions[0].Fabric = "CSM 450" }},
		{"in 3 panels; none such is demanded", func(r *nest.Record) { r.Divisions[0].Plies[0].Panels = 3 }},
		{"in 2 panels 4 times; demanded are 1", func(r *nest.Record) { r.Divisions[0].Plies[0].Pieces = 4 }},
		{"double 47400.0 mm² by its laps; its panels double 47500.0", func(r *nest.Record) { r.Divisions[0].Plies[0].LapArea -= 100 }},
		{"saves 126999 mm²; the job asks 127000", func(r *nest.Record) { r.Divisions[0].Drawn = 2.54e6 - 126999 }},
		{"out of range", func(r *nest.Record) { r.Divisions[0].Drawn = math.NaN() }},
	} {
		r := purpose()
		m.change(r)
		mustBreak(t, r, verify.RulePanel, m.words)
	}
	r := purpose()
	r.Divisions[0].Drawn, r.Divisions[0].Homeless = 2.6e6, 3
	mustPass(t, r)
}
