package drawing

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes"
)

// assemble turns pieces, texts and points into outlines.
func (s *sheet) assemble() {
	kept := s.pieces[:0]
	told := map[string]bool{}
	for _, p := range s.pieces {
		if p.from.role() == roleIgnore {
			s.passOver(p.from.kind, "layer or class named as drawing furniture", p.from.entity)
			if key := p.from.layer + "\x00" + p.from.class; !told[key] {
				told[key] = true
				at := p.start()
				s.problem(shapes.Doubt, p.from, &at, fmt.Sprintf("layer or class %q is taken for drawing furniture and passed over", clip(p.from.furniture())), "rename it where it holds plies")
			}
			continue
		}
		kept = append(kept, p)
	}
	s.pieces = kept
	if len(s.pieces) == 0 {
		if len(s.Problems.Faults()) == 0 {
			s.problem(shapes.Fault, nil, nil, "the drawing holds no line that could be an outline", "check that the plies are on layers that show, and in model space")
		}
		return
	}
	groups, shared := s.partition()
	var plies []*ply
	for _, group := range groups {
		plies = append(plies, s.assembleGroup(group)...)
	}
	s.shareMarks(plies, shared)
	s.order(plies)
	s.giveMarks(plies)
	s.giveNames(plies)
	s.scopeFaults(plies)
	for _, p := range plies {
		s.emit(p)
	}
	if len(s.Outlines) == 0 && len(s.Problems.Faults()) == 0 {
		s.problem(shapes.Fault, nil, nil, "the drawing holds no closed outline", "close the outlines, or have wider gaps closed: "+s.remedy("close_gaps", "5 mm", "close-gaps", "5"))
	}
}

// partition splits the pieces by layer where the options ask for it. Layers
// that hold nothing but marks, slits and datum lines are shared by all.
func (s *sheet) partition() (groups [][]*piece, shared []*piece) {
	if !s.opt.PerLayer {
		return [][]*piece{s.pieces}, nil
	}
	plain := map[string]bool{}
	for _, p := range s.pieces {
		if p.from.role() == rolePlain || p.closed {
			plain[p.from.layer] = true
		}
	}
	index := map[string]int{}
	for _, p := range s.pieces {
		key := p.from.layer
		if !plain[key] {
			shared = append(shared, p)
			continue
		}
		i, ok := index[key]
		if !ok {
			i = len(groups)
			index[key] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], p)
	}
	return groups, shared
}

// shareMarks gives lines of shared layers to the plies they lie in, and a datum
// line to every ply that has none of its own.
func (s *sheet) shareMarks(plies []*ply, shared []*piece) {
	var roles [roleIgnore][]*piece
	for _, p := range shared {
		roles[p.from.role()] = append(roles[p.from.role()], p)
	}
	for r, ps := range roles {
		if len(ps) == 0 {
			continue
		}
		loops, open := s.join(ps, role(r))
		for _, l := range loops {
			open = append(open, &chain{curves: l.curves, from: l.from, role: role(r)})
		}
		if role(r) != roleDatum {
			s.attach(plies, open)
			continue
		}
		for _, c := range open {
			for _, p := range plies {
				if p.datum == nil {
					s.mark(p, c, c.line(s.opt.Chord))
				}
			}
		}
	}
}

// assembleGroup joins and nests pieces that belong together. Lines are joined
// only with lines of their own role.
func (s *sheet) assembleGroup(pieces []*piece) []*ply {
	var roles [roleIgnore][]*piece
	for _, p := range pieces {
		r := p.from.role()
		roles[r] = append(roles[r], p)
	}
	var loops []*loop
	var open []*chain
	for r, ps := range roles {
		if len(ps) == 0 {
			continue
		}
		l, o := s.join(ps, role(r))
		for _, x := range l {
			if role(r) == roleMark || role(r) == roleDatum {
				open = append(open, &chain{curves: x.curves, from: x.from, role: role(r)})
				continue
			}
			loops = append(loops, x)
		}
		open = append(open, o...)
	}
	loops = s.sound(loops)
	for _, l := range loops {
		open = append(open, l.slits...)
	}
	plies := s.nest(loops)
	for _, p := range plies {
		p.layer = pieces[0].from.layer
	}
	s.attach(plies, open)
	return plies
}

// A ply is an outline being put together.
type ply struct {
	outer *loop
	holes []*loop
	holeR []orb.Ring
	holeX []*indexed // of holeR
	holeT rtree.RTreeG[*indexed]
	marks []shapes.Mark
	names map[NameSource]string
	name  string
	layer string
	datum *chain
	slits float64 // length of slits, mm
	first int
}

func reversedCurves(cs []curve) []curve {
	out := make([]curve, len(cs))
	for i, c := range cs {
		out[len(cs)-1-i] = c.reversed()
	}
	return out
}

// order puts plies in the order of the file.
func (s *sheet) order(plies []*ply) {
	slices.SortStableFunc(plies, func(a, b *ply) int { return a.first - b.first })
}

// emit makes the outline.
func (s *sheet) emit(p *ply) {
	o := &shapes.Outline{
		Name: p.name, Exterior: p.outer.ring, Holes: p.holeR, Marks: p.marks,
		Area: p.outer.area, Perimeter: p.outer.around + p.slits, Source: s.source(p.outer.from),
	}
	for _, h := range p.holes {
		o.Area -= h.area
		o.Perimeter += h.around
	}
	s.placed = append(s.placed, o)
	s.Outlines = append(s.Outlines, s.alongDatum(p, o))
}

func (s *sheet) source(from *origin) string {
	if from == nil {
		return s.File
	}
	return s.File + ", " + from.label()
}
