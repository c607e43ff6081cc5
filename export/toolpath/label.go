package toolpath

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/steady"
)

// LabelKind says what a label shows.
type LabelKind int

// Kinds of label.
const (
	// Name is the ply's name at its widest place.
	Name LabelKind = iota
	// Fibre is an arrow along the warp.
	Fibre
	// Mark is a line, point or writing of the drawing.
	Mark
	// Datum is the line that shows the datum axis.
	Datum
)

// String names the kind in lower case.
func (k LabelKind) String() string {
	return [...]string{"name", "fibre", "mark", "datum"}[k]
}

// A Label is something to be read or drawn, never to be cut.
type Label struct {
	Kind LabelKind
	// Placed is the index into Layout.Placed; Ply the number of the ply, as
	// Cut.Ply.
	Placed, Ply int
	// Text, where there is any, is centred at At, Height mm high, and rises
	// Angle degrees, in (-90, 90], so that it can be read from the front or
	// the side of the table. It is never mirrored, whichever way up the ply is
	// cut.
	Text   string
	At     orb.Point
	Height float64
	Angle  float64
	// Lines, where there are any, are open strokes.
	Lines []orb.LineString
	// Window is the window the label lies in.
	Window int
}

// Limits of the writing on a ply, mm.
const (
	highestText = 14
	lowestText  = 1.5
	// textAdvance is the width of a letter over its height.
	textAdvance = 0.75
	// markSize is half the length of the cross that shows a point.
	markSize = 4
)

// labelsOf makes the labels of an item. Name and fibre arrow stand inside the
// largest circle that the ply holds. Where the whole name would be too small
// to read, the ply's alone is taken; where that is, none.
func (k *shelf) labels(it *item) []Label {
	at, r := k.widest(it)
	var out []Label
	n := len(it.placed)
	for row, i := range it.placed {
		p := &k.l.Placed[i]
		layer := ""
		if n > 1 {
			layer = fmt.Sprintf("%d: ", p.Layer)
		}
		for _, text := range []string{shortName(p), p.Ply} {
			if lab, ok := nameLabel(layer+text, at, r, row, n); ok {
				lab.Placed = i
				out = append(out, lab)
				break
			}
		}
	}
	if k.directed(it) {
		if lab, ok := fibreLabel(at, r, n); ok {
			lab.Placed = it.placed[0]
			out = append(out, lab)
		}
	}
	// The pen reaches the top layer only; marks of plies below stay away.
	top := it.placed[0]
	for _, i := range it.placed {
		if k.l.Placed[i].Layer > k.l.Placed[top].Layer {
			top = i
		}
	}
	if s := k.shape(&k.l.Placed[top]); s != nil {
		for _, m := range marks(s, &k.l.Placed[top]) {
			m.Placed = top
			out = append(out, m)
		}
	}
	return out
}

// directed reports whether any ply of the item is of a fabric with a warp that
// matters.
func (k *shelf) directed(it *item) bool {
	for _, i := range it.placed {
		if f := k.rec.Fabric(k.l.Placed[i].Fabric); f == nil || !f.Construction.Directionless() {
			return true
		}
	}
	return false
}

// shortName is what is written on the ply: ply, part and unit.
func shortName(p *nest.Placed) string {
	s := fmt.Sprintf("%s %s/%d", p.Ply, p.Part, p.Unit)
	if p.Copy > 1 {
		s += fmt.Sprintf(".%d", p.Copy)
	}
	return s
}

// nameLabel fits line k of n into the circle. The block of n lines and the
// arrow below it is as wide as its longest line.
func nameLabel(text string, at orb.Point, r float64, k, n int) (Label, bool) {
	rows := float64(n) + 1 // the arrow takes a row
	wide := textAdvance * float64(len([]rune(text)))
	h := math.Min(highestText, 2*r*0.95/steady.Hypot(wide, 1.5*rows))
	if h < lowestText {
		return Label{}, false
	}
	y := at[1] + float64(h*1.5*(float64((rows-1)/2)-float64(k)))
	return Label{Kind: Name, Text: text, At: orb.Point{at[0], y}, Height: h}, true
}

// fibreLabel is a double arrow along the roll below n lines of names.
func fibreLabel(at orb.Point, r float64, n int) (Label, bool) {
	half := math.Min(40, 0.7*r)
	if half < 3 {
		return Label{}, false
	}
	y := at[1] - math.Min(0.5*r, 1.5*highestText*float64(n)/2)
	head := math.Min(5, half/3)
	a, b := orb.Point{at[0] - half, y}, orb.Point{at[0] + half, y}
	return Label{Kind: Fibre, At: orb.Point{at[0], y}, Lines: []orb.LineString{
		{a, b},
		{{a[0] + head, y + head/2}, a, {a[0] + head, y - head/2}},
		{{b[0] - head, y + head/2}, b, {b[0] - head, y - head/2}},
	}}, true
}

// marks are the marks of a shape in the place of a placed ply, slits left out:
// they are cuts.
func marks(s *nest.Shape, p *nest.Placed) []Label {
	t := transform(p)
	if !matches(s, p, t) {
		return nil
	}
	var out []Label
	for _, m := range s.Marks {
		if len(m.Line) == 0 {
			continue
		}
		line := t.Line(m.Line)
		switch m.Kind {
		case shapes.MarkLine, shapes.MarkSeam:
			out = append(out, Label{Kind: Mark, At: line[0], Lines: []orb.LineString{line}})
		case shapes.MarkDatum:
			out = append(out, Label{Kind: Datum, At: line[0], Lines: []orb.LineString{line}})
		case shapes.MarkPoint:
			x, y := line[0][0], line[0][1]
			out = append(out, Label{Kind: Mark, At: line[0], Lines: []orb.LineString{
				{{x - markSize, y}, {x + markSize, y}}, {{x, y - markSize}, {x, y + markSize}},
			}})
		case shapes.MarkText:
			if m.Text != "" {
				out = append(out, Label{Kind: Mark, At: line[0], Text: m.Text, Height: 5, Angle: readable(t.Rotation)})
			}
		}
	}
	return out
}

// readable turns an angle by half turns into (-90, 90].
func readable(deg float64) float64 {
	deg = normal(deg)
	switch {
	case deg > 90:
		return deg - 180
	case deg <= -90:
		return deg + 180
	}
	return deg
}
