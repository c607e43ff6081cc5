package study

import (
	"math"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest/study"
)

// rules draws what each rule costs as bars with the band of the noise, and
// tables it.
func rules(w *markup.Writer, t *study.Table) {
	if len(t.Rules) == 0 {
		return
	}
	w.Start("section", "aria-labelledby", "rules")
	w.Leaf("h2", "What each rule costs", "id", "rules")
	w.Leaf("p", "Saved where one rule is relaxed and all others hold, "+perSet(t)+". The whisker is the noise of the search: a bar whose whisker crosses the line may be luck alone.", "class", "note")
	bars(w, t)
	html(w, Rules(t), "rules")
	w.End()
	w.Line()
}

// mostBars is how many rules the picture shows; the table has all.
const mostBars = 24

// perSet is the unit rules are ranked by.
func perSet(t *study.Table) string {
	if t.ByCost {
		return strings.TrimSpace(t.Currency + " per set")
	}
	return "m² per set"
}

// barsHigh is the height of a picture of rules, which is barsWide wide.
func barsHigh(t *study.Table) float64 {
	n := 0
	for i := range t.Rules {
		if t.Rules[i].Seeds > 0 {
			n++
		}
	}
	return float64(barsRow*float64(min(n, mostBars))) + 30
}

// barsLeft is how many rules have no bar in the picture.
func barsLeft(t *study.Table) int {
	n := 0
	for i := range t.Rules {
		if t.Rules[i].Seeds > 0 {
			n++
		}
	}
	return max(0, n-mostBars)
}

const (
	barsWide = 1000.0
	barsRow  = 26.0
)

// bars draws the rules as a picture; attrs place it.
func bars(w *markup.Writer, t *study.Table, attrs ...string) {
	of := func(r *study.RuleCost) study.Saving { return r.Area }
	if t.ByCost {
		of = func(r *study.RuleCost) study.Saving { return r.Money }
	}
	var shown []*study.RuleCost
	lo, hi := 0.0, 0.0
	for i := range t.Rules {
		r := &t.Rules[i]
		if r.Seeds == 0 || len(shown) == mostBars {
			continue
		}
		shown = append(shown, r)
		s := of(r)
		lo, hi = math.Min(lo, s.Mean-s.Noise), math.Max(hi, s.Mean+s.Noise)
	}
	if hi <= lo {
		return
	}
	const left, wide, row = 380.0, barsWide, barsRow
	high := barsHigh(t)
	x := func(v float64) float64 { return left + float64((v-lo)/(hi-lo)*(wide-left-90)) }
	w.Start("svg", append([]string{"class", "chart", "viewBox", "0 0 " + fixed(wide, 0) + " " + fixed(high, 0), "role", "img", "aria-label", "What each rule costs, as bars"}, attrs...)...)
	w.Empty("line", "class", "axis", "x1", fixed(x(0), 1), "x2", fixed(x(0), 1), "y1", "4", "y2", fixed(high-22, 1))
	for _, v := range ticks(lo, hi, 6) {
		w.Leaf("text", tickText(v), "class", "tick", "x", fixed(x(v), 1), "y", fixed(high-6, 1))
	}
	for i, r := range shown {
		s := of(r)
		y := float64(row*float64(i)) + 8
		class := "bar dim"
		if r.Verdict() == study.Saves || r.Verdict() == study.Costs {
			class = "bar"
		}
		w.Leaf("text", short(r.Words, 52), "class", "label", "x", fixed(left-10, 1), "y", fixed(y+12, 1))
		w.Empty("rect", "class", class, "x", fixed(math.Min(x(0), x(s.Mean)), 1), "width", fixed(math.Abs(x(s.Mean)-x(0)), 1), "y", fixed(y, 1), "height", "15")
		if s.Noise > 0 {
			whisker(w, x(s.Mean-s.Noise), x(s.Mean+s.Noise), y+7.5)
		}
		w.Leaf("text", fixed(s.Mean, 2), "class", "value", "x", fixed(x(math.Max(0, s.Mean+s.Noise))+8, 1), "y", fixed(y+12, 1))
	}
	w.End()
}

func whisker(w *markup.Writer, from, to, y float64) {
	w.Empty("path", "class", "whisker", "d", "M"+fixed(from, 1)+" "+fixed(y-4, 1)+"v8M"+fixed(to, 1)+" "+fixed(y-4, 1)+"v8M"+fixed(from, 1)+" "+fixed(y, 1)+"H"+fixed(to, 1))
}

// short cuts a long name for a picture; tables have it whole.
func short(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}
