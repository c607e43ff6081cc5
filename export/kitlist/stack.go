package kitlist

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// A stack is the lay-up drawn as a laminate: the tool at the bottom, order 1
// on it, the last order on top.
type stack struct {
	layers []layer
	// row is the height of one order, mm.
	row float64
	// thickness of all orders, mm; 0 unknown.
	thickness float64
}

// A layer is one order of the lay-up.
type layer struct {
	order  int
	pieces []*kit.Line
}

const (
	stackHead = 13.5
	stackTool = 7.0
)

func (s *sheet) newStack() *stack {
	st := &stack{thickness: s.kit.Totals.Thickness}
	for i := range s.kit.Lines {
		l := &s.kit.Lines[i]
		if n := len(st.layers); n == 0 || st.layers[n-1].order != l.Demand.Order {
			st.layers = append(st.layers, layer{order: l.Demand.Order})
		}
		at := &st.layers[len(st.layers)-1]
		at.pieces = append(at.pieces, l)
	}
	st.row = 6.2
	if len(st.layers) > 14 {
		st.row = 4.6
	}
	return st
}

// height is what the stack takes in a number of columns, mm.
func (st *stack) height(columns int) float64 {
	rows := (len(st.layers) + columns - 1) / columns
	return stackHead + float64(float64(rows)*st.row) + stackTool
}

// print draws the stack in columns, each going on where the one to its left
// ended, over as many pages as it needs.
func (st *stack) print(s *sheet, x, w float64, columns int) {
	const gutter = 6.0
	cw := (w - float64(gutter*float64(columns-1))) / float64(columns)
	left := st.layers
	for len(left) > 0 {
		s.room(stackHead + stackTool + float64(6*st.row))
		fit := int((s.bottom - s.y - stackHead - stackTool) / st.row)
		rows := min(max(fit, 1), (len(left)+columns-1)/columns)
		title, note := "The stack", ""
		if len(left) < len(st.layers) {
			title += ", continued"
		} else if st.thickness > 0 {
			note = fmt.Sprintf("about %.1f mm where all orders meet (estimate)", st.thickness)
		}
		s.doc.Text(x, s.y+4, w, title, paper.Style{Pt: 10.5, Min: 7.5, Bold: true})
		s.doc.Text(x, s.y+7.8, w, "fibres as seen from above, 0° to the right", noteStyle)
		s.doc.Text(x, s.y+11.4, w, note, noteStyle)
		s.y += stackHead
		for c := 0; c < columns && len(left) > 0; c++ {
			n := min(rows, len(left))
			st.column(s, x+float64(float64(c)*(cw+gutter)), s.y+float64(float64(rows)*st.row), cw, left[:n], left[0].order == st.layers[0].order)
			left = left[n:]
		}
		s.y += float64(float64(rows)*st.row) + stackTool
	}
}

// column draws layers upwards from the base line.
func (st *stack) column(s *sheet, x, base, w float64, layers []layer, onTool bool) {
	const numberW = 8.0
	bar := min(30, w*0.36)
	for i := range layers {
		l := &layers[i]
		y := base - float64(float64(i+1)*st.row)
		p := l.pieces[0]
		mid := y + st.row/2 + paper.CapHeight(8)/2
		s.doc.Text(x, mid, numberW-1.5, fmt.Sprint(l.order), paper.Style{Pt: 8.5, Min: 6, Bold: true, Align: paper.Right})
		s.bar(x+numberW, y, bar, st.row, p)
		text := sentence(p.Fabric.Name, direction(p), l.plies())
		s.doc.Text(x+numberW+bar+2, mid, w-numberW-bar-2, text, paper.Style{Pt: 8, Min: 5.5})
	}
	if onTool {
		s.doc.Fill(x+numberW, base, bar, 2, 0)
		s.doc.Text(x+numberW+bar+2, base+2.3, w-numberW-bar-2, "tool", paper.Style{Pt: 8, Bold: true})
	} else {
		s.doc.Dashed(x+numberW, base+1, x+numberW+bar, base+1, paper.Thin, 0)
		s.doc.Text(x+numberW+bar+2, base+2.3, w-numberW-bar-2, fmt.Sprintf("on order %d", layers[0].order-1), paper.Style{Pt: 7})
	}
}

// plies names what lies in one order: "U07", "U07 ×2", "U07, U08".
func (l *layer) plies() string {
	var names []string
	n := map[string]int{}
	for _, p := range l.pieces {
		if n[p.Demand.Ply]++; n[p.Demand.Ply] == 1 {
			names = append(names, p.Demand.Ply)
		}
	}
	for i, name := range names {
		if n[name] > 1 {
			names[i] = fmt.Sprintf("%s ×%d", name, n[name])
		}
	}
	return strings.Join(names, ", ")
}
