package relay

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// Unnamed is the name that fabric from no named roll is given where remnants or
// rolls of that fabric stand beside it.
const Unnamed = "not named"

// A rack is the rolls of one fabric: as the finished record lists them, and
// what is left of them for the rest of the job.
type rack struct {
	listed *shapes.Fabric
	left   *shapes.Fabric
	// ahead leads from a roll of left to the roll of listed and to where the
	// rest begins on that, mm.
	ahead map[string]ahead
	// gone tells that named rolls are used up.
	gone bool
}

type ahead struct {
	roll string
	from float64
}

// rackOf sets the rolls of a fabric of the job against what is cut. A roll that
// the job describes as the record does goes on where the cutting stopped. One
// that it describes otherwise is two rolls from here on: what is cut stays on
// the old one, which ends there, and the rest has the name with "(rest)".
func rackOf(rec *nest.Record, kept []nest.Layout, f *shapes.Fabric) (*rack, error) {
	was := rec.Fabric(f.Name)
	listed, left := *f, *f
	listed.Rolls, left.Rolls = slices.Clone(f.Rolls), nil
	r := &rack{listed: &listed, left: &left, ahead: map[string]ahead{}}
	used := usedOf(kept, f.Name)
	if was == nil {
		was = f
	}
	if len(used) > 0 && was.Selvedge != f.Selvedge {
		return nil, fmt.Errorf("fabric %q: the job's selvedge of %g mm is not the %g mm that was cut with; make it a fabric of its own", f.Name, f.Selvedge, was.Selvedge)
	}
	if end, bare := used[""]; bare {
		if was.Width != f.Width {
			return nil, fmt.Errorf("fabric %q: its width changed, and what is cut names no roll; name the new roll, with its width", f.Name)
		}
		if len(f.Rolls) > 0 {
			listed.Rolls = append(listed.Rolls, shapes.Roll{Name: Unnamed, Length: end})
		}
		delete(used, "")
		if len(f.Rolls) == 0 && len(used) == 0 {
			r.ahead[""] = ahead{"", end}
			return r, nil
		}
	}
	for _, roll := range f.Rolls {
		end, begun := used[roll.Name]
		delete(used, roll.Name)
		switch old := rollOf(was, roll.Name); {
		case !begun:
			r.ahead[roll.Name] = ahead{roll.Name, 0}
		case old != nil && sameSoFar(was, f, *old, roll, end):
			r.ahead[roll.Name] = ahead{roll.Name, end}
		default:
			if old == nil {
				return nil, fmt.Errorf("fabric %q: pieces are cut from roll %q, which the run does not list", f.Name, roll.Name)
			}
			i := slices.IndexFunc(listed.Rolls, func(l shapes.Roll) bool { return l.Name == roll.Name })
			listed.Rolls[i] = ended(was, *old, end)
			next := behind(roll, end)
			next.Name = fmt.Sprintf("%s (rest)", roll.Name)
			// The roll may have changed before: what is cut of its rests is gone.
			for n := 2; rollOf(was, next.Name) != nil; n++ {
				next = behind(next, used[next.Name])
				next.Name = fmt.Sprintf("%s (rest %d)", roll.Name, n)
			}
			if roll.Length == 0 || next.Length > 0 {
				listed.Rolls = append(listed.Rolls, next)
				left.Rolls = append(left.Rolls, next)
				r.ahead[next.Name] = ahead{next.Name, 0}
			}
			continue
		}
		if next := behind(roll, end); roll.Length == 0 || next.Length > 0 {
			left.Rolls = append(left.Rolls, next)
		}
	}
	// Rolls that only the run has: swapped ones, and remnants.
	var names []string
	for name := range used {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		old := rollOf(was, name)
		if old == nil {
			return nil, fmt.Errorf("fabric %q: pieces are cut from roll %q, which the run does not list", f.Name, name)
		}
		listed.Rolls = append(listed.Rolls, kept1(was, *old, used[name]))
	}
	r.gone = len(f.Rolls) > 0 && len(left.Rolls) == 0
	if len(f.Rolls) == 0 && len(listed.Rolls) > 0 {
		listed.Rolls = append(listed.Rolls, shapes.Roll{Name: Unnamed})
		r.ahead[""] = ahead{Unnamed, used[""]}
	}
	return r, nil
}

// usedOf is how far each roll of a fabric is cut, mm from its free end.
func usedOf(kept []nest.Layout, fabric string) map[string]float64 {
	used := map[string]float64{}
	for i := range kept {
		for _, ly := range kept[i].Layers {
			if ly.Fabric == fabric {
				used[ly.Roll] = math.Max(used[ly.Roll], nest.Round(ly.RollFrom+kept[i].Length))
			}
		}
	}
	return used
}

func rollOf(f *shapes.Fabric, name string) *shapes.Roll {
	for i := range f.Rolls {
		if f.Rolls[i].Name == name {
			return &f.Rolls[i]
		}
	}
	return nil
}

func widthOf(f *shapes.Fabric, r shapes.Roll) float64 {
	if r.Width > 0 {
		return r.Width
	}
	return f.Width
}

// sameSoFar reports whether what is cut of a roll is described alike twice:
// only length and what lies ahead may differ.
func sameSoFar(was, f *shapes.Fabric, a, b shapes.Roll, end float64) bool {
	return widthOf(was, a) == widthOf(f, b) && a.Lot == b.Lot && a.FaceDown == b.FaceDown &&
		(b.Length == 0 || b.Length >= end) && slices.Equal(ended(was, a, end).Flaws, ended(was, b, end).Flaws)
}

// ended is a roll cut off behind what is used, with its width written out.
func ended(f *shapes.Fabric, r shapes.Roll, end float64) shapes.Roll {
	r.Length, r.Width = end, widthOf(f, r)
	var flaws []shapes.Span
	for _, w := range r.Flaws {
		if w.From < end {
			flaws = append(flaws, shapes.Span{From: w.From, To: math.Min(w.To, end)})
		}
	}
	r.Flaws = flaws
	return r
}

// kept1 is a roll that only the run has. A remnant keeps its length, since its
// rest may be kept again; of a roll that went back on the rack nothing more is
// known here.
func kept1(f *shapes.Fabric, r shapes.Roll, end float64) shapes.Roll {
	length := r.Length
	r = ended(f, r, end)
	if length > end && isRemnant(r.Name) {
		r.Length = length
	}
	return r
}

// behind is what is left of a roll, measured from its new free end. Where
// nothing is left of a roll with an end, its length is 0.
func behind(r shapes.Roll, end float64) shapes.Roll {
	if r.Length > 0 {
		r.Length = math.Max(0, nest.Round(r.Length-end))
	}
	var flaws []shapes.Span
	for _, w := range r.Flaws {
		if w.To > end {
			flaws = append(flaws, shapes.Span{From: nest.Round(math.Max(0, w.From-end)), To: nest.Round(w.To - end)})
		}
	}
	r.Flaws = flaws
	return r
}
