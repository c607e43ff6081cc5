package study

import (
	"math"
	"slices"
	"sort"
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest/study"
)

// A point is one row on a curve: where it lies, and what the seeds gave.
type point struct {
	x    float64
	s    study.Sample
	best bool
}

// A line is the rows that differ along one axis alone.
type line struct {
	name   string
	points []point
}

// mostLines is how many lines one picture can hold and still be read.
const mostLines = 6

// curves draws yield, and cost or area, over every axis that has figures.
func curves(w *markup.Writer, t *study.Table) {
	opened := false
	for i, a := range t.Spec.Axes {
		yields, more := lines(t, i, yield)
		if len(yields) == 0 {
			continue
		}
		if !opened {
			w.Start("section", "aria-labelledby", "curves")
			w.Leaf("h2", "Curves", "id", "curves")
			opened = true
		}
		w.Start("div", "class", "pair")
		chart(w, a.Name(), "net yield, %", yields)
		if t.ByCost {
			chart(w, a.Name(), t.Currency+" per set", costLines(t, i))
		} else {
			chart(w, a.Name(), "m² per set", areaLines(t, i))
		}
		w.End()
		if more > 0 {
			w.Leaf("p", count(more, "more line is", "more lines are")+" left out of these pictures; the table has them.", "class", "note")
		}
	}
	if opened {
		w.End()
		w.Line()
	}
}

func scaled(s study.Sample, by float64) study.Sample {
	s.Mean, s.SD, s.Least, s.Most = s.Mean*by, s.SD*by, s.Least*by, s.Most*by
	return s
}

// lines gathers the rows along an axis; more is how many lines are left out.
func lines(t *study.Table, axis int, of func(study.Stat) (study.Sample, bool)) (out []line, more int) {
	at := map[string]int{}
	for i := range t.Rows {
		r := &t.Rows[i]
		s, ok := of(r.Total)
		if r.Seeds == 0 || !ok || r.At[axis] == nil {
			continue
		}
		name := ""
		for k, x := range r.Settings {
			if k == axis {
				continue
			}
			if name != "" {
				name += ", "
			}
			name += x.String()
		}
		k, ok := at[name]
		if !ok {
			k = len(out)
			at[name] = k
			out = append(out, line{name: name})
		}
		out[k].points = append(out[k].points, point{*r.At[axis], s, r.Best})
	}
	var kept []line
	for _, l := range out {
		sort.SliceStable(l.points, func(i, j int) bool { return l.points[i].x < l.points[j].x })
		if len(l.points) > 1 && l.points[0].x < l.points[len(l.points)-1].x {
			kept = append(kept, l)
		}
	}
	if len(kept) > mostLines {
		kept, more = kept[:mostLines], len(kept)-mostLines
	}
	return kept, more
}

// chart draws lines as a figure of the page.
func chart(w *markup.Writer, xName, yName string, ls []line) {
	if len(ls) == 0 {
		return
	}
	w.Start("figure")
	w.Start("figcaption")
	w.Leaf("b", yName)
	w.Text(" against " + xName)
	w.End()
	drawLines(w, xName, yName, ls)
	w.End()
}

// The size of a chart of lines, in its own units.
const (
	chartWide = 560.0
	chartPlot = 230.0
	chartTop  = 14.0
)

// chartHigh is the height of a chart with its key.
func chartHigh(ls []line) float64 {
	keys := len(ls)
	if keys == 1 && ls[0].name == "" {
		keys = 0
	}
	return chartTop + chartPlot + 46 + float64(20*float64(keys))
}

// drawLines draws lines as a picture; attrs place it.
func drawLines(w *markup.Writer, xName, yName string, ls []line, attrs ...string) {
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, l := range ls {
		for _, p := range l.points {
			x0, x1 = math.Min(x0, p.x), math.Max(x1, p.x)
			y0, y1 = math.Min(y0, p.s.Least), math.Max(y1, p.s.Most)
		}
	}
	pad := math.Max((y1-y0)*0.08, math.Max(math.Abs(y1)*0.002, 1e-9))
	y0, y1 = y0-pad, y1+pad
	const wide, left, right, top, plot = chartWide, 62.0, 20.0, chartTop, chartPlot
	high := chartHigh(ls)
	x := func(v float64) float64 { return left + float64((v-x0)/(x1-x0)*(wide-left-right)) }
	y := func(v float64) float64 { return top + float64((y1-v)/(y1-y0)*plot) }
	w.Start("svg", append([]string{"class", "chart", "viewBox", "0 0 " + fixed(wide, 0) + " " + fixed(high, 0), "role", "img", "aria-label", yName + " against " + xName}, attrs...)...)
	for _, v := range ticks(y0, y1, 5) {
		w.Empty("line", "class", "rule", "x1", fixed(left, 1), "x2", fixed(wide-right, 1), "y1", fixed(y(v), 1), "y2", fixed(y(v), 1))
		w.Leaf("text", tickText(v), "class", "ytick", "x", fixed(left-7, 1), "y", fixed(y(v)+4, 1))
	}
	for _, v := range marks(ls, x0, x1) {
		w.Empty("line", "class", "rule", "x1", fixed(x(v), 1), "x2", fixed(x(v), 1), "y1", fixed(top+plot, 1), "y2", fixed(top+plot+5, 1))
		w.Leaf("text", tickText(v), "class", "tick", "x", fixed(x(v), 1), "y", fixed(top+plot+20, 1))
	}
	w.Empty("line", "class", "axis", "x1", fixed(left, 1), "x2", fixed(wide-right, 1), "y1", fixed(top+plot, 1), "y2", fixed(top+plot, 1))
	for i, l := range ls {
		class := "s" + strconv.Itoa(i)
		d := ""
		for k, p := range l.points {
			cmd := "L"
			if k == 0 {
				cmd = "M"
			}
			d += cmd + fixed(x(p.x), 1) + " " + fixed(y(p.s.Mean), 1)
		}
		w.Empty("path", "class", "curve "+class, "d", d)
		for _, p := range l.points {
			px, py := x(p.x), y(p.s.Mean)
			if p.s.Most > p.s.Least {
				w.Empty("path", "class", "whisker", "d", "M"+fixed(px-4, 1)+" "+fixed(y(p.s.Least), 1)+"h8M"+fixed(px-4, 1)+" "+fixed(y(p.s.Most), 1)+"h8M"+fixed(px, 1)+" "+fixed(y(p.s.Least), 1)+"V"+fixed(y(p.s.Most), 1))
			}
			w.Empty("circle", "class", "dot "+class, "cx", fixed(px, 1), "cy", fixed(py, 1), "r", "4")
			if p.best {
				w.Empty("circle", "class", "ring", "cx", fixed(px, 1), "cy", fixed(py, 1), "r", "8")
			}
		}
		if l.name != "" {
			ky := top + plot + 42 + float64(20*float64(i))
			w.Empty("line", "class", "curve "+class, "x1", fixed(left, 1), "x2", fixed(left+34, 1), "y1", fixed(ky-4, 1), "y2", fixed(ky-4, 1))
			w.Empty("circle", "class", "dot "+class, "cx", fixed(left+17, 1), "cy", fixed(ky-4, 1), "r", "4")
			w.Leaf("text", short(l.name, 60), "class", "keytext", "x", fixed(left+44, 1), "y", fixed(ky, 1))
		}
	}
	w.End()
}

// marks are the values that were laid where they are few, round figures
// elsewhere.
func marks(ls []line, lo, hi float64) []float64 {
	var out []float64
	for _, l := range ls {
		for _, p := range l.points {
			if !slices.Contains(out, p.x) {
				out = append(out, p.x)
			}
		}
	}
	if len(out) > 7 {
		return ticks(lo, hi, 6)
	}
	return out
}

// ticks are about n round figures from lo to hi.
func ticks(lo, hi float64, n int) []float64 {
	span := hi - lo
	if !(span > 0) || math.IsInf(span, 0) {
		return nil
	}
	step := math.Pow(10, math.Floor(math.Log10(span/float64(n))))
	for _, m := range []float64{1, 2, 5, 10} {
		if span/(step*m) <= float64(n) {
			step *= m
			break
		}
	}
	var out []float64
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+float64(step*1e-9); k++ {
		out = append(out, float64(k*step)+0)
	}
	return out
}

func tickText(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e6)/1e6+0, 'f', -1, 64)
}
