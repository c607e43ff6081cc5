package jobfile

import (
	"fmt"
	"sort"

	"plyroom/shapes"
)

func (r *reader) readRoll(n *node, entry *fabricEntry) {
	m := r.fields(n, rollForm, "")
	if m == nil {
		return
	}
	f := entry.fabric
	roll := shapes.Roll{}
	roll.Name, _ = m.text("roll")
	roll.Lot, _ = m.text("lot")
	roll.Length = m.figure("length")
	roll.Width = m.figure("width")
	roll.FaceDown = m.flag("face_down")
	if roll.Width > 0 && roll.Width <= 2*f.Selvedge {
		m.fault("width", fmt.Sprintf("two selvedges of %s mm leave nothing of a width of %s mm", figure(f.Selvedge), figure(roll.Width)), "")
	}
	r.readRollMass(m, f, &roll)
	r.readFlaws(m, &roll)
	r.readRollLife(m, f, &roll)
	roll.Received, _ = m.date("received")
	roll.Reserved = m.figure("reserved")
	roll.Remnant = m.flag("remnant")
	if roll.Length > 0 && roll.Reserved > roll.Length {
		m.fault("reserved", fmt.Sprintf("%s mm are reserved of a roll of %s mm", figure(roll.Reserved), figure(roll.Length)), "")
	}
	width := roll.Width
	if width == 0 {
		width = f.Width
	}
	r.stateLength(m, "length", "roll "+quote(roll.Name), roll.Length, width, roll.Remnant)
	f.Rolls = append(f.Rolls, roll)
	entry.rolls = append(entry.rolls, m.at("roll"))
}

// readRollMass turns the mass left on a roll into a length.
func (r *reader) readRollMass(m *fields, f *shapes.Fabric, roll *shapes.Roll) {
	if !m.has("mass") {
		return
	}
	if m.has("length") {
		m.fault("mass", "a roll states length or mass, not both", "")
		return
	}
	mass, ok := m.number("mass")
	width := roll.Width
	if width == 0 {
		width = f.Width
	}
	if f.ArealMass == 0 && f.Construction != "" {
		m.fault("mass", fmt.Sprintf("mass tells no length, since fabric %s has no areal mass", quote(f.Name)), `state "length"`)
		return
	}
	if !ok || width == 0 || f.ArealMass == 0 {
		return
	}
	// kg over g/m² and mm: 1 kg of 1 g/m² and 1 mm is 10⁶ m, 10⁹ mm.
	roll.Length = mass / (f.ArealMass * width) * 1e9
	if roll.Length > maxLength {
		m.fault("mass", fmt.Sprintf("mass: %s is out of range", quote(m.at("mass").text)), fmt.Sprintf("it would be %s m of fabric", figure(roll.Length/1000)))
	}
}

// readRollLife reads what a roll of prepreg has left.
func (r *reader) readRollLife(m *fields, f *shapes.Fabric, roll *shapes.Roll) {
	roll.OutUsed = m.figure("out_used")
	roll.Thaw = m.figure("thaw")
	roll.Expires, _ = m.date("expires")
	for _, name := range []string{"out_used", "thaw"} {
		if m.has(name) && !f.Prepreg() {
			m.fault(name, fmt.Sprintf("%s is for fabrics with an out-life", name), `state the fabric's "out_life"`)
		}
	}
}

func (r *reader) readFlaws(m *fields, roll *shapes.Roll) {
	var spans []shapes.Span
	for _, n := range m.list("flaws") {
		fm := r.fields(n, flawForm, "")
		if fm == nil {
			continue
		}
		from, ok1 := fm.number("from")
		to, ok2 := fm.number("to")
		switch {
		case !ok1 || !ok2:
		case to == from:
			fm.fault("to", fmt.Sprintf("the flaw has no length: it begins and ends at %s mm", figure(from)), "")
		case to < from:
			fm.fault("to", fmt.Sprintf("the flaw ends at %s mm, before it begins at %s mm", figure(to), figure(from)), "")
		case roll.Length > 0 && to > roll.Length:
			fm.fault("to", fmt.Sprintf("the flaw ends at %s mm, past the end of the roll at %s mm", figure(to), figure(roll.Length)), "")
		default:
			spans = append(spans, shapes.Span{From: from, To: to})
		}
	}
	roll.Flaws = mergeSpans(spans)
}

// mergeSpans sorts spans and joins those that touch.
func mergeSpans(spans []shapes.Span) []shapes.Span {
	sort.Slice(spans, func(i, j int) bool { return spans[i].From < spans[j].From })
	var out []shapes.Span
	for _, s := range spans {
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, s.To)
			continue
		}
		out = append(out, s)
	}
	return out
}

// checkRollNames reports a roll name that stands twice in the job, since every
// ply is traced to its roll.
func (r *reader) checkRollNames() {
	first := map[string]*node{}
	for _, name := range r.fabricNames {
		entry := r.fabrics[name]
		for i, roll := range entry.fabric.Rolls {
			if roll.Name == "" {
				continue
			}
			if other := first[roll.Name]; other != nil {
				r.fault(entry.rolls[i], "", fmt.Sprintf("roll %s stands twice, first on line %d", quote(roll.Name), other.line), "")
				continue
			}
			first[roll.Name] = entry.rolls[i]
		}
	}
}
