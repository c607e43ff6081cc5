package jobfile

import (
	"fmt"
	"slices"

	"plyroom/shapes"
)

// readCutting reads the rules of the table; a job without them takes the
// defaults.
func (r *reader) readCutting(job *fields) {
	n := job.values["cutting"]
	if n == nil || n.kind == nullNode {
		n = &node{kind: mapNode, file: r.file}
	}
	m := r.fields(n, cuttingForm, "")
	if m == nil {
		return
	}
	c := &r.job.Cutting
	c.Gap = m.figure("gap")
	c.Trim = m.figure("trim")
	c.AngleTolerance = m.figure("angle_tolerance")
	c.EndAllowance = m.figure("end_allowance")
	c.Layers, _ = m.whole("layers")
	c.MinRemnant = m.figure("min_remnant")
	c.ChordTolerance = m.figure("chord_tolerance")
	c.Ink = m.flag("ink")
	c.OneLotPerUnit = m.flag("one_lot_per_unit")
	r.together = m.list("keep_together")
	if m.has("spread_policy") {
		policy, _ := m.word("spread_policy")
		c.SpreadPolicy = shapes.SpreadPolicy(policy)
	}
	r.readRates(m)
	r.readTable(m)
	r.readSpreads(m)
}

func (r *reader) readTable(cutting *fields) {
	n := cutting.values["table"]
	if n == nil || n.kind == nullNode {
		return
	}
	m := r.fields(n, tableForm, "")
	if m == nil {
		return
	}
	t := &shapes.Table{Length: m.figure("length"), Width: m.figure("width")}
	kind, _ := m.word("kind")
	t.Kind = shapes.TableKind(kind)
	r.job.Cutting.Table = t
	if t.Length > 0 && t.Kind == shapes.StaticTable && t.Length <= 2*r.job.Cutting.EndAllowance {
		m.fault("length", fmt.Sprintf("two end allowances of %s mm leave nothing of a table of %s mm", figure(r.job.Cutting.EndAllowance), figure(t.Length)), "")
	}
	if t.Width <= 0 {
		return
	}
	for _, name := range r.fabricNames {
		entry := r.fabrics[name]
		if entry.fabric.Width > t.Width {
			r.doubt(entry.node, "", fmt.Sprintf("fabric %s is %s mm wide, the table only %s mm", quote(name), figure(entry.fabric.Width), figure(t.Width)), "")
		}
	}
}

func (r *reader) readRates(cutting *fields) {
	n := cutting.values["rates"]
	if n == nil || n.kind == nullNode {
		return
	}
	m := r.fields(n, ratesForm, "")
	if m == nil {
		return
	}
	r.job.Cutting.Rates = &shapes.Rates{
		Cut: m.figure("cut"), Lift: m.figure("lift"), Spread: m.figure("spread"),
		Layer: m.figure("layer"), Layout: m.figure("layout"), RollChange: m.figure("roll_change"),
		Walk: m.figure("walk"), Labour: m.figure("labour"),
	}
}

func (r *reader) readSpreads(m *fields) {
	of := m.key("spreads").of
	for _, group := range m.list("spreads") {
		var names []string
		for _, n := range r.list(group, of, "spreads", "") {
			name, ok := r.text(n, of.of, "spreads", "")
			if !ok {
				continue
			}
			if r.fabrics[name] == nil {
				r.fault(n, "", "spreads: unknown fabric "+quote(name), suggest(name, r.fabricNames))
				continue
			}
			names = append(names, name)
		}
		r.job.Cutting.Spreads = append(r.job.Cutting.Spreads, names)
	}
	if len(r.job.Cutting.Spreads) > 0 && r.job.Cutting.Layers == 1 {
		r.note("the spreads are not used: the knife cuts one layer at a time")
	}
}

func (r *reader) readLaminating(job *fields) {
	n := job.values["laminating"]
	if n == nil || n.kind == nullNode {
		return
	}
	m := r.fields(n, laminatingForm, "")
	if m == nil {
		return
	}
	l := &shapes.Laminating{
		WorkingTime:  m.figure("working_time"),
		PlanAt:       m.figure("plan_at"),
		Pace:         m.figure("pace"),
		MixLimit:     m.figure("mix_limit"),
		ResinDensity: m.figure("resin_density"),
		ResinPrice:   r.readPrice(m, "resin_price"),
		Waste:        m.figure("waste"),
	}
	l.Resin, _ = m.text("resin")
	l.SetThickness = m.figure("set_thickness")
	l.Cure = m.figure("cure")
	l.CureAfter = m.figure("cure_after")
	l.Shift = r.readShift(m)
	r.job.Laminating = l
}

func (r *reader) readShift(laminating *fields) *shapes.Shift {
	n := laminating.values["shift"]
	if n == nil || n.kind == nullNode {
		return nil
	}
	m := r.fields(n, shiftForm, "")
	if m == nil {
		return nil
	}
	s := &shapes.Shift{
		Start: m.figure("start"), BetweenSets: m.figure("between_sets"),
		BetweenKits: m.figure("between_kits"), Carry: m.figure("carry"),
	}
	s.Crews, _ = m.whole("crews")
	if m.has("cut_from") {
		from := m.figure("cut_from")
		s.CutFrom = &from
	}
	if m.has("end") {
		end := m.figure("end")
		s.End = &end
		if end <= s.Start {
			m.fault("end", "the shift ends before it begins", "a shift past midnight cannot be given; state no end")
		}
	}
	r.readDays(m, s)
	return s
}

// readDays reads the days of the week on which work is done.
func (r *reader) readDays(m *fields, s *shapes.Shift) {
	of := m.key("days").of
	for _, n := range m.list("days") {
		day, ok := r.word(n, of, "days", "")
		if ok && !slices.Contains(s.Days, day) {
			s.Days = append(s.Days, day)
		}
	}
	switch {
	case len(s.Days) == 0:
	case s.End == nil:
		m.fault("days", "days without end: work that has no end of day knows no days off", "state end, such as end: 16:00")
	case r.job.Date == "":
		m.r.note("the shift lists days of the week and the job has no date: the first day is taken for one of them, and which days are off is not known")
	}
}
