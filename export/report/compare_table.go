package report

import (
	"math"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest/account"
	"plyroom/nest/compare"
)

// A line is one row of a comparison's table.
type line struct {
	label string
	value func(Run) float64
	show  func(float64) string
	// way is -1 where less is better, 1 where more is, 0 where neither.
	way    int
	within float64
}

func (c *comparison) lines(fabric string) []line {
	of := func(f func(account.Summary) float64) func(Run) float64 {
		return func(r Run) float64 { return f(r.summary(fabric)) }
	}
	nan := math.NaN()
	lines := []line{
		{"Drawn, m", of(func(s account.Summary) float64 { return s.Length }), metres, -1, 5},
		{"Drawn, m²", of(func(s account.Summary) float64 { return s.Books.Drawn }), squareMetres, -1, 5000},
		{"Net yield", of(func(s account.Summary) float64 { return s.Books.NetYield() }), percent, 1, 0.0005},
		{"Cut yield", of(func(s account.Summary) float64 { return s.Books.CutYield() }), percent, 1, 0.0005},
		{"Least possible, m", of(func(s account.Summary) float64 {
			if s.BoundLength <= 0 {
				return nan
			}
			return s.BoundLength
		}), metres, 0, 0},
		{"Above it by", of(func(s account.Summary) float64 {
			if s.BoundLength <= 0 {
				return nan
			}
			return s.Gap()
		}), percent, -1, 0.0005},
		{strings.TrimSpace("Cost " + c.runs[0].Record.Currency), func(r Run) float64 {
			s := r.summary(fabric)
			if !s.Priced || r.Record.Currency != c.runs[0].Record.Currency {
				return nan
			}
			return s.Cost
		}, func(v float64) string { return fixed(v, 2) }, -1, 0.005},
		{"Layouts", of(func(s account.Summary) float64 { return float64(s.Layouts) }), func(v float64) string { return fixed(v, 0) }, -1, 0.5},
		{"Turned over", func(r Run) float64 { n, _ := plies(r, fabric); return n }, func(v float64) string { return fixed(v, 0) }, 0, 0},
		{"Fibre off by up to", func(r Run) float64 { _, d := plies(r, fabric); return d }, degrees, -1, 0.005},
	}
	for i, class := range (account.Books{}).Classes() {
		if i == 0 {
			continue // net plies are what was asked for
		}
		way := -1
		if class.Key == "remnant" {
			way = 0
		}
		lines = append(lines, line{class.Label + ", m²", of(func(s account.Summary) float64 { return s.Books.Classes()[i].Area }),
			func(v float64) string { return fixed(v/1e6, 3) }, way, 500})
	}
	if fabric == "" {
		lines = append(lines, c.work()...)
	}
	return lines
}

// work is what the plans ask of the cutting room; nothing where that is not
// known of every one.
func (c *comparison) work() []line {
	for _, r := range c.runs {
		if r.Work == nil {
			return nil
		}
	}
	knife := func(f func(*compare.Knife) float64) func(Run) float64 {
		return func(r Run) float64 {
			if r.Work.Knife == nil {
				return math.NaN()
			}
			return f(r.Work.Knife)
		}
	}
	one := func(v float64) string { return fixed(v, 1) }
	whole := func(v float64) string { return fixed(v, 0) }
	return []line{
		{"Time at the table, min", func(r Run) float64 { return r.Work.Total() }, one, -1, 0.05},
		{"cutting, min", knife(func(k *compare.Knife) float64 { return k.Minutes }), one, -1, 0.05},
		{"spreading, min", func(r Run) float64 { return r.Work.Minutes.Spreading }, one, -1, 0.05},
		{"roll changes, min", func(r Run) float64 { return r.Work.Minutes.RollChanges }, one, -1, 0.05},
		{"filling kits, min", func(r Run) float64 { return r.Work.Minutes.Kitting }, one, -1, 0.05},
		{"Knife down, m", knife(func(k *compare.Knife) float64 { return k.Down }), one, -1, 0.05},
		{"Knife up, m", knife(func(k *compare.Knife) float64 { return k.Up }), one, -1, 0.05},
		{"Knife lifts", knife(func(k *compare.Knife) float64 { return float64(k.Lifts) }), whole, -1, 0.5},
		{"Visits of kits to layouts", func(r Run) float64 { return float64(r.Work.Visits) }, whole, -1, 0.5},
		{"Walk to the kits, m", func(r Run) float64 { return r.Work.Walk }, one, -1, 0.05},
		{"Plies that lie elsewhere than in the first", func(r Run) float64 { return float64(r.Moved) }, whole, 0, 0},
	}
}

// plies counts the plies of a fabric cut face down and finds the largest
// deviation of fibre, degrees.
func plies(r Run, fabric string) (over, furthest float64) {
	for i := range r.Record.Layouts {
		for k := range r.Record.Layouts[i].Placed {
			p := &r.Record.Layouts[i].Placed[k]
			if fabric != "" && p.Fabric != fabric {
				continue
			}
			if p.TurnedOver {
				over++
			}
			furthest = math.Max(furthest, math.Abs(p.DeviationDeg))
		}
	}
	return over, furthest
}

func (c *comparison) table(w *markup.Writer, fabric, id string) {
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", id+"-h")
	w.Start("table", "class", "versus")
	w.Leaf("caption", "Figures of each plan", "class", "unseen")
	w.Start("thead")
	w.Start("tr")
	w.Start("td")
	w.End()
	for i, r := range c.runs {
		w.Leaf("th", runName(r, i), "scope", "col")
	}
	w.End()
	w.End()
	w.Start("tbody")
	for _, l := range c.lines(fabric) {
		any := false
		for _, r := range c.runs {
			v := l.value(r)
			any = any || !math.IsNaN(v) && math.Abs(v) > l.within
		}
		if !any {
			continue
		}
		best := make([]bool, len(c.runs))
		if l.way != 0 {
			best = c.best(l.value, l.way > 0, l.within)
		}
		w.Start("tr")
		w.Leaf("th", l.label, "scope", "row")
		for i, r := range c.runs {
			w.Start("td", markup.If(best[i], "class"), "best")
			if best[i] {
				w.Leaf("b", "best")
			}
			v := l.value(r)
			w.Text(orDash(!math.IsNaN(v), l.show(v)))
			w.End()
		}
		w.End()
	}
	w.End()
	w.End()
	w.End()
}
