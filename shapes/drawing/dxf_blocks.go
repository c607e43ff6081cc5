package drawing

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
)

// placing says where and as what a block's entities are drawn.
type placing struct {
	m      affine // to millimetres
	layer  string // what layer 0 means
	block  string // name of the innermost named block
	insert int
	stack  []*dxfBlock
}

// place draws every entity of the drawing.
func (f *dxfFile) place() {
	p := placing{m: f.s.toMM}
	inserts := 0
	for _, it := range f.items {
		f.placeItem(it, p, &inserts)
	}
}

func (f *dxfFile) placeItem(it *dxfItem, p placing, inserts *int) {
	s := f.s
	if s.halted {
		return
	}
	if f.placed++; f.placed > MaxPlaced {
		s.halt(it.from.line, fmt.Sprintf("more than %d entities are drawn", MaxPlaced), "split the drawing")
		return
	}
	layer := it.from.layer
	if layer == "0" && p.layer != "" {
		layer = p.layer
	}
	state := f.layers[strings.ToUpper(layer)]
	switch {
	case it.hidden != "":
		s.passOver(it.from.kind, it.hidden, it.from.entity)
		return
	case state.frozen:
		s.passOver(it.from.kind, "layer frozen", it.from.entity)
		return
	case state.off && it.insert == nil:
		s.passOver(it.from.kind, "layer off", it.from.entity)
		return
	}
	from := it.from
	from.layer, from.block, from.insert = layer, p.block, p.insert
	if !it.told {
		it.told = true
		for _, t := range it.trouble {
			var at *orb.Point
			if t.at != nil {
				q := p.m.point(*t.at)
				at = &q
			}
			s.problem(t.sev, &from, at, t.message, t.hint)
		}
	}
	switch {
	case it.skip != "":
		s.passOver(it.from.kind, it.skip, it.from.entity)
	case it.insert != nil:
		f.placeInsert(it, from, p, inserts)
	case it.text != nil:
		w := *it.text
		w.at, w.centre = p.m.point(w.at), p.m.point(w.centre)
		w.height *= p.m.size()
		w.from = &from
		s.writings = append(s.writings, w)
	case it.point != nil:
		s.spots = append(s.spots, spot{p.m.point(*it.point), &from})
	default:
		cs := make([]curve, len(it.curves))
		for i, c := range it.curves {
			cs[i] = c.mapped(p.m)
		}
		s.addPiece(cs, it.closed, &from)
	}
}

func (f *dxfFile) placeInsert(it *dxfItem, from origin, p placing, inserts *int) {
	s, in := f.s, it.insert
	at := p.m.point(in.ocs.point(in.at))
	b := f.blocks[strings.ToUpper(in.block)]
	if b == nil {
		s.problem(shapes.Doubt, &from, &at, fmt.Sprintf("refers to block %q, which the drawing does not hold", clip(in.block)), "bind or insert the block")
		return
	}
	if b.external && len(b.items) == 0 {
		s.problem(shapes.Doubt, &from, &at, fmt.Sprintf("refers to another drawing (block %q), which is not fetched", clip(in.block)), "bind it")
		return
	}
	for _, up := range p.stack {
		if up == b {
			s.problem(shapes.Fault, &from, &at, fmt.Sprintf("block %q refers to itself", clip(in.block)), "explode or redraw the block")
			return
		}
	}
	if len(p.stack) >= MaxDepth {
		s.halt(from.line, fmt.Sprintf("blocks nest deeper than %d", MaxDepth), "explode the blocks")
		return
	}
	if in.sx == 0 || in.sy == 0 || math.IsNaN(in.sx) || math.IsNaN(in.sy) {
		s.problem(shapes.Fault, &from, &at, fmt.Sprintf("block %q is drawn at scale (%g, %g)", clip(in.block), in.sx, in.sy), "delete it, or correct its scale")
		return
	}
	if in.cols > MaxInserts || in.rows > MaxInserts || in.cols*in.rows > MaxInserts-*inserts {
		s.halt(from.line, fmt.Sprintf("more than %d block references are drawn", MaxInserts), "split the drawing")
		return
	}
	stack := append(p.stack[:len(p.stack):len(p.stack)], b)
	turn := rotationDeg(in.rotation)
	for row := range in.rows {
		for col := range in.cols {
			*inserts++
			q := placing{layer: from.layer, block: p.block, insert: p.insert, stack: stack}
			// The outermost reference counts, so that what it holds belongs
			// together.
			if q.insert == 0 {
				q.insert = *inserts
			}
			if !strings.HasPrefix(b.name, "*") {
				q.block = b.name
			}
			q.m = p.m.mul(in.ocs).mul(translation(in.at[0], in.at[1])).mul(turn).
				mul(translation(float64(col)*in.dx, float64(row)*in.dy)).mul(scaling(in.sx, in.sy)).mul(translation(-b.base[0], -b.base[1]))
			for _, sub := range b.items {
				f.placeItem(sub, q, inserts)
			}
			if row == 0 && col == 0 {
				for _, a := range in.attribs {
					r := p
					r.layer, r.insert, r.block = from.layer, q.insert, q.block
					f.placeItem(a, r, inserts)
				}
			}
			if s.halted {
				return
			}
		}
	}
}
