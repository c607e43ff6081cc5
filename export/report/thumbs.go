package report

import (
	"math"
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
	"plyroom/shapes/steady"
)

// The size of the small picture in a kit row, in its own units.
const (
	thumbWidth  = 58.0
	thumbHeight = 38.0
	thumbEdge   = 3.0
)

// thumbs are the small pictures of the plies as they lie on the tool, datum to
// the right, in both hands. Each is held once and used by every row that shows
// it.
type thumbs struct {
	index map[string]int
	paths []string // first hand, opposite hand, by shape
}

func newThumbs(rec *nest.Record) thumbs {
	t := thumbs{index: map[string]int{}}
	used := map[string]bool{}
	for i := range rec.Demand {
		used[rec.Demand[i].Shape] = true
	}
	for i := range rec.Shapes {
		s := &rec.Shapes[i]
		if !used[s.ID] {
			continue
		}
		t.index[s.ID] = len(t.paths)
		t.paths = append(t.paths, thumbPath(s, false), thumbPath(s, true))
	}
	return t
}

func (t thumbs) id(shape string, opposite bool) string {
	n := t.index[shape]
	if opposite {
		n++
	}
	return "s" + strconv.Itoa(n)
}

func (t thumbs) write(w *markup.Writer) {
	for i, d := range t.paths {
		w.Empty("path", "id", "s"+strconv.Itoa(i), "d", d)
	}
}

// thumbPath fits a net shape, with its seams, into the small picture.
func thumbPath(s *nest.Shape, mirror bool) string {
	p := s.Net
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, v := range p.Outline {
		for k := range v {
			lo[k], hi[k] = math.Min(lo[k], v[k]), math.Max(hi[k], v[k])
		}
	}
	scale := math.Min((thumbWidth-2*thumbEdge)/math.Max(hi[0]-lo[0], 1e-9), (thumbHeight-2*thumbEdge)/math.Max(hi[1]-lo[1], 1e-9))
	fit := func(v [2]float64) [2]float64 {
		y := (v[1] - (lo[1]+hi[1])/2) * scale
		if !mirror {
			y = -y
		}
		return [2]float64{thumbWidth/2 + float64((v[0]-(lo[0]+hi[0])/2)*scale), thumbHeight/2 + y}
	}
	var b []byte
	point := func(cmd byte, at [2]float64) {
		b = append(b, cmd)
		b = strconv.AppendFloat(b, at[0], 'f', 1, 64)
		b = append(b, ' ')
		b = strconv.AppendFloat(b, at[1], 'f', 1, 64)
	}
	for _, ring := range append([]nest.Ring{p.Outline}, p.Holes...) {
		var last [2]float64
		n := 0
		for k, v := range ring {
			at := fit(v)
			// A quarter of a unit is not seen.
			if k > 0 && k < len(ring)-1 && steady.Hypot(at[0]-last[0], at[1]-last[1]) < 0.25 {
				continue
			}
			last = at
			if n == 0 {
				point('M', at)
			} else {
				point('L', at)
			}
			n++
		}
		b = append(b, 'z')
	}
	for _, m := range s.Marks {
		// One stretch at a time: a line of two points has nothing to fill.
		for k := 0; m.Kind == shapes.MarkSeam && k+1 < len(m.Line); k++ {
			point('M', fit(m.Line[k]))
			point('L', fit(m.Line[k+1]))
		}
	}
	return string(b)
}

// thumb draws the small picture of a line: the net shape and how its fibre
// lies on the tool.
func (p *page) thumb(w *markup.Writer, l *kit.Line) {
	w.Start("svg", "class", "th", "viewBox", "0 0 58 38", "aria-hidden", "true")
	w.Empty("use", "href", "#"+p.thumbs.id(l.Demand.Shape, l.Demand.OppositeHand))
	if !l.Directionless() {
		w.Empty("path", "class", "tf", "d", thumbFibres(l))
	}
	w.End()
}

// thumbFibres is an arrow along the warp as laid, and a short line along every
// other fibre.
func thumbFibres(l *kit.Line) string {
	const r = 13.0
	var b []byte
	point := func(cmd byte, x, y float64) {
		b = append(b, cmd)
		b = strconv.AppendFloat(b, thumbWidth/2+x, 'f', 1, 64)
		b = append(b, ' ')
		b = strconv.AppendFloat(b, thumbHeight/2-y, 'f', 1, 64)
	}
	stroke := func(deg, length float64) {
		sin, cos := steady.SincosDegrees(deg)
		point('M', -length*cos, -length*sin)
		point('L', length*cos, length*sin)
	}
	laid := l.LaidDeg()
	stroke(laid, r)
	for _, end := range []float64{laid, laid + 180} {
		sin, cos := steady.SincosDegrees(end)
		for i, turn := range []float64{155, -155} {
			s, c := steady.SincosDegrees(end + turn)
			if i == 0 {
				point('M', float64(r*cos)+float64(4.5*c), float64(r*sin)+float64(4.5*s))
				point('L', r*cos, r*sin)
			} else {
				point('L', float64(r*cos)+float64(4.5*c), float64(r*sin)+float64(4.5*s))
			}
		}
	}
	for _, f := range l.Fibres {
		off := math.Mod(math.Abs(f.Angle-laid), 180)
		if off > 0.5 && off < 179.5 {
			stroke(f.Angle, 0.6*r)
		}
	}
	return string(b)
}
