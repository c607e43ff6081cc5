package verify

import (
	"fmt"
	"math"
	"unicode"

	"plyroom/nest"
	"plyroom/shapes"
)

// MaxChord is the largest chord tolerance accepted, mm: beyond it an outline
// says little about the curve that was drawn.
const MaxChord = 10

// figures checks the figures of rule 1 that no cut depends on and the documents
// reckon with: masses, prices, times, how the plan was found.
func (c *checker) figures() {
	r := &c.record.Rules
	c.number("the trim", r.Trim, 0)
	c.number("the least remnant", r.MinRemnant, 0)
	c.number("the chord tolerance", r.ChordTolerance, 0)
	if r.ChordTolerance > MaxChord {
		c.fault("the chord tolerance is %g mm; more than %g mm is no outline of a curve", r.ChordTolerance, float64(MaxChord))
	}
	for i := range c.record.Fabrics {
		c.fabricFigures(&c.record.Fabrics[i])
	}
	if lam := c.record.Laminating; lam != nil {
		for _, f := range []struct {
			what  string
			value float64
		}{{"working time", lam.WorkingTime}, {"share of the working time", lam.PlanAt}, {"pace", lam.Pace}, {"largest mix", lam.MixLimit},
			{"resin's density", lam.ResinDensity}, {"share of waste", lam.Waste}, {"thickness of a wet set", lam.SetThickness}} {
			c.number("the laminator's "+f.what, f.value, 0)
		}
		if lam.Waste >= 1 {
			c.fault("the share of resin wasted is %g; it must be below 1", lam.Waste)
		}
		c.price("the resin", lam.ResinPrice)
	}
	if t := c.record.Together; t != nil {
		for _, f := range []nest.KeptFigures{t.Kept, t.Free} {
			for _, v := range []float64{f.Length, f.Drawn, f.FabricCost, f.Walk, f.Minutes.Cutting, f.Minutes.Spreading, f.Minutes.RollChanges, f.Minutes.Kitting} {
				c.number("a figure of what keeping kits together costs", v, 0)
			}
		}
	}
	if c.record.Search.Status == "" {
		c.fault("the record does not say how its search ended")
	}
	if c.record.Search.Effort < 0 {
		c.fault("the effort of the search is %d", c.record.Search.Effort)
	}
}

func (c *checker) fabricFigures(f *shapes.Fabric) {
	c.number("the areal mass of fabric "+f.Name, f.ArealMass, 0)
	switch {
	case !(f.GlassContent >= 0 && f.GlassContent < 1):
		c.fault("the glass content of fabric %s is %g; it must be from 0 to below 1", f.Name, f.GlassContent)
	case f.GlassContent == 0 && f.ArealMass > 0:
		c.fault("fabric %s has an areal mass of %g g/m² and no glass content", f.Name, f.ArealMass)
	}
	c.number("the fibre density of fabric "+f.Name, f.FibreDensity, 0)
	c.number("the delivery length of fabric "+f.Name, f.DeliveryLength, 0)
	c.number("the out-life of fabric "+f.Name, f.OutLife, 0)
	c.price("fabric "+f.Name, f.Price)
	for _, r := range f.Rolls {
		c.number("the time out used of roll "+r.Name, r.OutUsed, 0)
		c.number("the thaw of roll "+r.Name, r.Thaw, 0)
	}
}

func (c *checker) price(of string, p *shapes.Price) {
	if p == nil {
		return
	}
	c.number("the price of "+of, p.Amount, 0)
	switch p.Per {
	case shapes.PerSquareMetre, shapes.PerKilogram, shapes.PerMetre, shapes.PerRoll:
	default:
		c.fault("the price of %s is per %q, which is no unit it is sold by", of, p.Per)
	}
}

// plainNames checks that no name breaks a line or changes the direction of
// writing: it would read otherwise on paper than it is stored.
func (c *checker) plainNames() {
	seen := map[string]bool{}
	name := func(what, s string) {
		if seen[s] {
			return
		}
		seen[s] = true
		for _, r := range s {
			if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069' {
				c.fault("%s %q holds the character %U, which cannot be printed", what, s, r)
				return
			}
		}
	}
	rec := c.record
	name("the job", rec.Job)
	name("the revision", rec.Revision)
	name("the currency", rec.Currency)
	for i := range rec.Fabrics {
		name("fabric", rec.Fabrics[i].Name)
		for _, r := range rec.Fabrics[i].Rolls {
			name("roll", r.Name)
			name("lot", r.Lot)
		}
	}
	for _, p := range rec.Parts {
		name("part", p.Part)
		name("revision", p.Revision)
	}
	for _, s := range rec.Shapes {
		name("shape", s.ID)
		name("outline", s.Name)
	}
	for i := range rec.Demand {
		d := &rec.Demand[i]
		name("ply", d.Ply)
		name("bag", d.Bag)
		if d.Panel != nil {
			name("ply", d.Panel.Ply)
		}
	}
	for _, l := range rec.Layouts {
		name("layout", l.ID)
		for _, layer := range l.Layers {
			name("roll", layer.Roll)
			name("lot", layer.Lot)
		}
	}
}

// laps checks the doubled area that every shape states: none for a shape that is
// no panel. Those of panels are checked with their seams.
func (c *checker) laps() {
	panel := map[string]bool{}
	for i := range c.record.Demand {
		if c.record.Demand[i].Panel != nil {
			panel[c.record.Demand[i].Shape] = true
		}
	}
	for i := range c.record.Shapes {
		s := &c.record.Shapes[i]
		switch {
		case !inRange(s.LapArea) || s.LapArea < 0:
			c.fault("the lap area of shape %s is %g mm²", s.ID, s.LapArea)
		case s.LapArea > 0 && !panel[s.ID] && len(c.record.Demand) > 1: // a panel cut again stands alone
			c.fault("shape %s states a lap of %g mm² and is no panel of a divided ply", s.ID, s.LapArea)
		}
	}
}

// lapMatches checks that the lap a panel states is what of its net shape lies
// beyond the seams of its field.
func (c *checker) lapMatches(d *nest.Demand, field [2]int) {
	s := c.shapes[d.Shape]
	if !polygonInRange(s.Net) {
		return // rule 1 says so
	}
	whole, inside, round := 0.0, 0.0, 0.0
	for _, ring := range append([]nest.Ring{s.Net.Outline}, s.Net.Holes...) {
		r := turnRing(ring, -d.Panel.AxisDeg)
		whole += shoelace(r)
		for i, v := range r {
			round += distance(v, r[(i+1)%len(r)])
		}
		for axis, seams := range [2][]float64{d.Panel.CrossSeams, d.Panel.Seams} {
			if k := field[axis]; k > 0 {
				r = clipRing(r, axis, seams[k-1], 1)
			}
			if k := field[axis]; k < len(seams) {
				r = clipRing(r, axis, seams[k], -1)
			}
		}
		inside += shoelace(r)
	}
	want := whole - inside
	if off := math.Abs(want - s.LapArea); off > 1+float64(PanelTolerance*round) {
		c.add(Violation{Rule: RulePanel, Plies: []nest.Key{d.Key()}, Measured: s.LapArea, Limit: want, Unit: "mm²",
			Message: fmt.Sprintf("shape %s states a lap of %.6g mm²; %.6g mm² of it lie beyond its seams", s.ID, s.LapArea, want)})
	}
}

// clipRing keeps what lies on one side of a line across an axis: above it where
// side is 1, below where it is -1. A ring that falls into pieces keeps edges
// along the line that enclose nothing, so that its area is right.
func clipRing(r nest.Ring, axis int, at, side float64) nest.Ring {
	var out nest.Ring
	for i, a := range r {
		b := r[(i+1)%len(r)]
		da, db := float64(side*(a[axis]-at)), float64(side*(b[axis]-at))
		if da >= 0 {
			out = append(out, a)
		}
		if da > 0 && db < 0 || da < 0 && db > 0 {
			t := da / (da - db)
			out = append(out, nest.Point{a[0] + float64(t*(b[0]-a[0])), a[1] + float64(t*(b[1]-a[1]))})
		}
	}
	return out
}

// shoelace is the signed area of a ring, mm².
func shoelace(r nest.Ring) float64 {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += float64((a[0]-r[0][0])*(b[1]-r[0][1])) - float64((b[0]-r[0][0])*(a[1]-r[0][1]))
	}
	return float64(sum / 2)
}
