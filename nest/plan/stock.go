package plan

import (
	"math"

	"plyroom/nest/demand"
	"plyroom/shapes"
)

// A stock is what is left of the rolls while a plan is made: layouts are cut
// one after the other from each roll's free end.
type stock struct {
	// order lists the rolls of each fabric as they are taken.
	order map[string][]*shapes.Roll
	// next is where the free end of a roll lies, mm; 0 for one not begun.
	next map[*shapes.Roll]float64
}

// newStock takes the rolls of each fabric as listed. A fabric without rolls
// comes from one that has no name and no end.
func newStock(fabrics []*shapes.Fabric) *stock {
	s := &stock{order: map[string][]*shapes.Roll{}, next: map[*shapes.Roll]float64{}}
	for _, f := range fabrics {
		s.order[f.Name] = rollsOf(f)
	}
	return s
}

func rollsOf(f *shapes.Fabric) []*shapes.Roll {
	if len(f.Rolls) == 0 {
		return []*shapes.Roll{{}}
	}
	out := make([]*shapes.Roll, len(f.Rolls))
	for i := range f.Rolls {
		out[i] = &f.Rolls[i]
	}
	return out
}

// clone is an independent copy of the free ends.
func (s *stock) clone() *stock {
	c := &stock{order: s.order, next: make(map[*shapes.Roll]float64, len(s.next))}
	for r, v := range s.next {
		c.next[r] = v
	}
	return c
}

// left is the length still on a roll, mm; +Inf for as much as needed.
func (s *stock) left(r *shapes.Roll) float64 {
	if r.Length == 0 {
		return math.Inf(1)
	}
	return r.Length - s.next[r]
}

// clear is the length from the free end to the next flaw or the roll's end.
func (s *stock) clear(r *shapes.Roll) float64 {
	at, length := s.next[r], s.left(r)
	for _, f := range r.Flaws {
		if f.To > at {
			length = math.Min(length, math.Max(0, f.From-at))
		}
	}
	return length
}

// rolls lists the rolls a layer may be cut from. A layer of a spread may be
// laid either way round; a single one lies as its roll unrolls.
func (s *stock) rolls(l demand.Layer, single, eitherFace bool) []*shapes.Roll {
	var out []*shapes.Roll
	for _, r := range s.order[l.Fabric] {
		if l.Lot != "" && r.Lot != l.Lot {
			continue
		}
		if single && !eitherFace && r.FaceDown != l.FaceDown {
			continue
		}
		out = append(out, r)
	}
	return out
}

// named finds a roll by its name; nil where the fabric has none of it.
func (s *stock) named(fabric, roll string) *shapes.Roll {
	for _, r := range s.order[fabric] {
		if r.Name == roll {
			return r
		}
	}
	return nil
}
