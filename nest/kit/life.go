package kit

import "plyroom/shapes"

// A Life is what is left of prepreg: a kit, or a piece of one, inherits it
// from the roll it is cut from, and a kit from the least of its rolls (CMH-17
// Vol. 3, from memory, M). The supplier's data sheet overrides it.
type Life struct {
	// Left is the out-life left when the roll is thawed and cutting begins,
	// minutes; negative where the roll has been out too long.
	Left float64
	// LeftFabric and LeftRoll say which roll has that little; the roll is empty
	// where none is named, and then as good as fresh from the freezer.
	LeftFabric, LeftRoll string
	// Expires is the first day on which one of the rolls expires; empty where
	// no day is known. ExpiresRoll is that roll.
	Expires     shapes.Date
	ExpiresRoll string
}

// lifeOf is what a piece inherits; nil where its fabric has no out-life and
// its roll does not expire, or nothing is placed.
func lifeOf(f *shapes.Fabric, p *Place) *Life {
	if p == nil {
		return nil
	}
	if p.fabric != nil {
		f = p.fabric
	}
	roll := &shapes.Roll{}
	for i := range f.Rolls {
		if p.Roll != "" && f.Rolls[i].Name == p.Roll {
			roll = &f.Rolls[i]
		}
	}
	left, known := f.OutLifeLeft(roll)
	if !known {
		return nil
	}
	l := &Life{Left: left, LeftFabric: f.Name, LeftRoll: roll.Name}
	if roll.Expires != "" {
		l.Expires, l.ExpiresRoll = roll.Expires, roll.Name
	}
	return l
}

// leastLife is what the lines of a kit have left together.
func leastLife(lines []Line) *Life {
	var least *Life
	for i := range lines {
		l := lines[i].Life
		if l == nil {
			continue
		}
		if least == nil {
			c := *l
			least = &c
			continue
		}
		if l.Left < least.Left {
			least.Left, least.LeftFabric, least.LeftRoll = l.Left, l.LeftFabric, l.LeftRoll
		}
		if l.Expires != "" && (least.Expires == "" || l.Expires < least.Expires) {
			least.Expires, least.ExpiresRoll = l.Expires, l.ExpiresRoll
		}
	}
	return least
}

// An Overrun is a kit whose prepreg would be out of the freezer for too long.
type Overrun struct {
	Kit *Kit
	// Needed is the time from cutting its first prepreg to the beginning of its
	// cure, minutes; estimated.
	Needed float64
}

// Overruns lists the kits that would outlast what their prepreg has left. The
// time they need is that of the timetable, from the beginning of the first
// layout they need prepreg from, and Shift.CureAfter; without slots only laying
// and the way to cure count.
func Overruns(kits []Kit, slots []Slot, s Shift) []Overrun {
	ends := cutEnds(kits, s)
	var out []Overrun
	for i := range kits {
		k := &kits[i]
		if k.Life == nil {
			continue
		}
		needed := k.Minutes + s.CureAfter
		for j := range slots {
			if slots[j].Kit != k {
				continue
			}
			begin := slots[j].Leave
			for n := range k.Lines {
				l := &k.Lines[n]
				if l.Life == nil || l.Place == nil {
					continue
				}
				if end, ok := ends[l.Place.LayoutIndex]; ok {
					begin = min(begin, end-s.CutMinutes(l.Place.Layout))
				}
			}
			needed = max(needed, slots[j].Done+s.CureAfter-begin)
		}
		if needed > k.Life.Left || k.Life.Left <= 0 {
			out = append(out, Overrun{k, needed})
		}
	}
	return out
}
