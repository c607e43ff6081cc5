package pack

import "math"

// A layout is a set of poses free of overlap, of the items that are laid.
type layout struct {
	poses  []pose
	laid   []bool // nil: all
	length float64
}

func (l *layout) complete() bool { return l.laid == nil }

// reach is the largest x any item of the state reaches.
func (s *state) reach() float64 {
	x := 0.0
	for i := range s.box {
		x = math.Max(x, s.box[i].MaxX)
	}
	return x
}

// snapshot copies a state that is free of overlap.
func (s *state) snapshot() layout {
	l := layout{poses: append([]pose(nil), s.pose...), length: s.reach()}
	if s.w.followed {
		l.length = s.length // what follows lies there
	}
	return l
}

// placements translates a layout into the caller's terms.
func (w *world) placements(l *layout) (out []Placement, missing []Unplaced) {
	for k := range w.kinds {
		kd := &w.kinds[k]
		lost := 0
		for c := range kd.count {
			i := int(w.first[k]) + c
			if l.laid != nil && !l.laid[i] {
				lost++
				continue
			}
			p := l.poses[i]
			if p.variant >= 0 {
				v := kd.variants[p.variant]
				p.degrees, p.mirrored = v.Degrees, v.Mirrored
			}
			out = append(out, w.placement(k, c, &p))
		}
		if lost > 0 {
			missing = append(missing, Unplaced{k, lost})
		}
	}
	return out, missing
}
