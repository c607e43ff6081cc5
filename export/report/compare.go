package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/compare"
)

// A Run is one plan in a comparison.
type Run struct {
	// Name is how the page calls the run, such as its folder.
	Name   string
	Record *nest.Record
	// Ledger is the record measured; nil has WriteCompare measure it.
	Ledger *account.Ledger
	// Work is what the plan asks of the cutting room; nil leaves it out. Moved
	// counts the plies that lie elsewhere than in the first run.
	Work  *compare.Work
	Moved int
}

// Said is what a comparison comes to in sentences without a full stop.
type Said struct {
	// Terms say under which other rules and prices the runs were laid.
	Terms []string
	// Advice says which run is better for whom.
	Advice []string
}

// WriteCompare writes a page that sets two or more plans side by side: figures
// with the best marked, where the fabric went, and the layouts of each fabric
// at one scale. It compares whatever it is given; where the plans do not cut
// the same plies, the page says so first.
func WriteCompare(w io.Writer, runs ...Run) error {
	return WriteComparison(w, Said{}, runs...)
}

// WriteComparison is WriteCompare with a few sentences at its head: under what
// other terms the plans were laid, and which is better for whom.
func WriteComparison(w io.Writer, said Said, runs ...Run) error {
	if len(runs) < 2 {
		return errors.New("a comparison takes two runs or more")
	}
	c := &comparison{Said: said}
	for _, r := range runs {
		if r.Record == nil {
			return fmt.Errorf("run %s has no record", r.Name)
		}
		if r.Ledger == nil {
			led, err := account.Measure(r.Record)
			if err != nil {
				return fmt.Errorf("run %s: %w", r.Name, err)
			}
			r.Ledger = led
		}
		c.runs = append(c.runs, r)
	}
	c.fabrics()
	for _, r := range c.runs[1:] {
		missing, extra := unlike(demandOf(c.runs[0].Record), demandOf(r.Record))
		c.unlike = c.unlike || missing+extra > 0
	}
	m := markup.New(w)
	c.write(m)
	return m.Flush()
}

type comparison struct {
	Said
	runs  []Run
	names []string // fabrics, in the order of the runs
	// unlike tells that not all cut the same plies: none is best then.
	unlike bool
}

// fabrics lists the fabrics that any run cuts.
func (c *comparison) fabrics() {
	seen := map[string]bool{}
	for _, r := range c.runs {
		for _, s := range r.Ledger.Fabrics {
			if !seen[s.Fabric] {
				seen[s.Fabric] = true
				c.names = append(c.names, s.Fabric)
			}
		}
	}
}

// summary finds the books of a fabric in a run; the total for an empty name.
func (r Run) summary(fabric string) account.Summary {
	if fabric == "" {
		return r.Ledger.Total
	}
	for _, s := range r.Ledger.Fabrics {
		if s.Fabric == fabric {
			return s
		}
	}
	return account.Summary{Fabric: fabric}
}

func (c *comparison) write(w *markup.Writer) {
	rec := c.runs[0].Record
	w.Doctype()
	w.Start("html", "lang", "en")
	head(w, title(rec)+" – plans compared", title(rec)+" · plans compared", "")
	w.Start("body", "class", "compare")
	w.Leaf("a", "Skip to the comparison", "class", "skip", "href", "#main")
	w.Start("svg", "class", "nowhere", "width", "0", "height", "0", "aria-hidden", "true")
	w.Start("defs")
	keyPatterns(w, len(rec.Parts))
	barPatterns(w)
	w.End()
	w.End()
	c.masthead(w)
	w.Start("main", "id", "main", "tabindex", "-1")
	c.differences(w)
	c.forWhom(w)
	c.section(w, "", 0)
	for i, f := range c.names {
		c.section(w, f, i+1)
	}
	w.End()
	w.End()
	w.End()
	w.Line()
}

func (c *comparison) masthead(w *markup.Writer) {
	w.Start("header", "class", "mast")
	w.Start("div", "class", "job")
	w.Leaf("p", "Plans compared", "class", "lab")
	w.Leaf("h1", c.runs[0].Record.Job)
	w.End()
	w.Start("div", "class", "rev")
	w.Leaf("p", "Revision", "class", "lab")
	w.Leaf("p", orDash(c.runs[0].Record.Revision != "", c.runs[0].Record.Revision), "class", "big")
	w.End()
	w.Start("dl", "class", "figs")
	best := c.best(func(r Run) float64 { return r.Ledger.Total.Length }, false, 5)
	for i, r := range c.runs {
		w.Start("div")
		w.Leaf("dt", runName(r, i))
		w.Start("dd", markup.If(best[i], "class"), "best")
		w.Text(metres(r.Ledger.Total.Length))
		w.Leaf("small", thin+"m")
		if best[i] {
			w.Leaf("b", "best")
		}
		w.End()
		w.End()
	}
	w.End()
	w.End()
	w.Line()
}

// runName is the run's name, or its place where it has none.
func runName(r Run, i int) string {
	if r.Name == "" {
		return "run " + strconv.Itoa(i+1)
	}
	return r.Name
}

// best marks the runs whose value is the least (or the greatest), where not all
// are equal. Values nearer than within are equal: no one should act on a
// difference the page does not show. NaN is no value. Of plans of different
// plies none is best.
func (c *comparison) best(value func(Run) float64, greatest bool, within float64) []bool {
	vs := make([]float64, len(c.runs))
	top, bottom := math.Inf(1), math.Inf(-1)
	for i, r := range c.runs {
		vs[i] = value(r)
		if greatest {
			vs[i] = -vs[i]
		}
		if !math.IsNaN(vs[i]) {
			top, bottom = math.Min(top, vs[i]), math.Max(bottom, vs[i])
		}
	}
	out := make([]bool, len(vs))
	if c.unlike || !(bottom-top > within) {
		return out
	}
	for i, v := range vs {
		out[i] = v-top <= within
	}
	return out
}

// differences says what a reader must know before trusting the figures.
func (c *comparison) differences(w *markup.Writer) {
	var notes []string
	first := demandOf(c.runs[0].Record)
	for i, r := range c.runs[1:] {
		missing, extra := unlike(first, demandOf(r.Record))
		if missing+extra > 0 {
			notes = append(notes, fmt.Sprintf("%s does not cut the same plies as %s: %s missing, %s more. Their lengths say nothing about which is better.",
				runName(r, i+1), runName(c.runs[0], 0), count(missing, "piece", "pieces"), count(extra, "piece", "pieces")))
		}
		if r.Record.Job != c.runs[0].Record.Job || r.Record.Revision != c.runs[0].Record.Revision {
			notes = append(notes, fmt.Sprintf("%s is of %s.", runName(r, i+1), title(r.Record)))
		}
	}
	for _, t := range c.Terms {
		notes = append(notes, t+".")
	}
	if len(notes) == 0 {
		return
	}
	w.Start("section", "class", "care differ", "aria-labelledby", "differ-h")
	w.Leaf("h2", "How these plans differ", "id", "differ-h")
	w.Start("ul")
	for _, n := range notes {
		w.Leaf("li", n)
	}
	w.End()
	w.End()
}

// forWhom writes which plan is better for whom.
func (c *comparison) forWhom(w *markup.Writer) {
	if len(c.Advice) == 0 {
		return
	}
	w.Start("section", "aria-labelledby", "whom-h")
	w.Leaf("h2", "Which is better for whom", "id", "whom-h")
	for _, a := range c.Advice {
		w.Leaf("p", a+".", "class", "words")
	}
	w.End()
}

// demandOf lists what is to be cut, a divided ply as one: part, unit, ply, copy,
// fabric and hand.
func demandOf(r *nest.Record) map[string]int {
	m := map[string]int{}
	for _, d := range r.Demand {
		if d.Panel != nil {
			d.Ply = d.Panel.Ply
		}
		m[fmt.Sprintf("%q %q %t", d.Key(), d.Fabric, d.OppositeHand)] = 1
	}
	return m
}

func unlike(a, b map[string]int) (missing, extra int) {
	for k, n := range a {
		missing += max(0, n-b[k])
	}
	for k, n := range b {
		extra += max(0, n-a[k])
	}
	return missing, extra
}

// section compares one fabric, or all where the name is empty.
func (c *comparison) section(w *markup.Writer, fabric string, i int) {
	id := "f" + strconv.Itoa(i)
	name := fabric
	if name == "" {
		name = "All fabrics"
	}
	w.Start("section", "aria-labelledby", id+"-h")
	w.Leaf("h2", name, "id", id+"-h")
	c.inWords(w, fabric)
	c.table(w, fabric, id)
	w.Start("div", "class", "bars", "aria-hidden", "true")
	for k, r := range c.runs {
		s := r.summary(fabric)
		w.Start("div", "class", "barrow")
		w.Leaf("span", runName(r, k), "class", "barname")
		stackedBar(w, s.Books)
		w.Start("span", "class", "barsum")
		w.Leaf("b", percent(s.Books.NetYield()))
		w.Text(" net")
		w.End()
		w.End()
	}
	w.End()
	if fabric != "" {
		c.pictures(w, fabric, id)
	} else {
		w.Leaf("p", "Least possible is a proved lower limit: no layout of these plies could be shorter.", "class", "note")
		c.key(w)
	}
	w.End()
	w.Line()
}

// inWords says which run takes the least, and by how much.
func (c *comparison) inWords(w *markup.Writer, fabric string) {
	order := make([]int, len(c.runs))
	for i := range order {
		order[i] = i
	}
	length := func(i int) float64 { return c.runs[i].summary(fabric).Length }
	sort.SliceStable(order, func(a, b int) bool { return length(order[a]) < length(order[b]) })
	least := order[0]
	if length(least) <= 0 {
		return
	}
	s := runName(c.runs[least], least) + " takes the least, " + metres(length(least)) + thin + "m"
	same := true
	for _, i := range order[1:] {
		more := length(i) - length(least)
		if more < 5 {
			s += "; " + runName(c.runs[i], i) + " as much"
			continue
		}
		same = false
		s += "; " + runName(c.runs[i], i) + " takes " + metres(more) + thin + "m more (" + percent(more/length(least)) + ")"
	}
	if same {
		s = "All take " + metres(length(least)) + thin + "m"
	}
	w.Leaf("p", s+".", "class", "words")
}
