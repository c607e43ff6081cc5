package report

import (
	"fmt"
	"math"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest"
)

// optionWords name the ways to spread as people read them.
var optionWords = map[string]string{
	nest.OptionNone: "no spreads", nest.OptionTime: "best time", nest.OptionFabric: "best fabric",
	nest.OptionRecommended: "recommended", nest.OptionLaid: "as laid",
}

// spreads sets the ways to spread side by side, and says what the plan saves
// against cutting every fabric single. It writes nothing where the record
// weighs none.
func (p *page) spreads(w *markup.Writer) {
	options := p.rec.SpreadOptions
	if len(options) == 0 {
		return
	}
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", "spread-cap")
	w.Start("table", "class", "fabrics options")
	w.Leaf("caption", "Spreads: minutes against fabric", "id", "spread-cap")
	w.Start("thead")
	w.Start("tr")
	w.Leaf("th", "Plan", "scope", "col", "class", "name")
	for _, name := range []string{"Layouts", "of them spreads", "Drawn, m", "Drawn, m²", "Yield net", "Cutting, min", "Spreading, min",
		"Roll changes, min", "Kitting, min", "All, min", p.money("Fabric"), p.money("Labour")} {
		w.Leaf("th", name, "scope", "col")
	}
	w.End()
	w.End()
	w.Start("tbody")
	for _, o := range options {
		w.Start("tr")
		w.Start("th", "scope", "row", "class", "name")
		w.Leaf("b", optionWords[o.Name])
		w.Leaf("small", lengthWords(o))
		w.End()
		m := o.Minutes
		for _, cell := range []string{
			fixed(float64(o.Layouts), 0), fixed(float64(o.Spreads), 0), metres(o.Length), squareMetres(o.Drawn), percent(o.NetYield),
			fixed(m.Cutting, 0), fixed(m.Spreading, 0), fixed(m.RollChanges, 0), fixed(m.Kitting, 0), fixed(m.Total(), 0),
			orDash(o.Priced, fixed(o.FabricCost, 2)), fixed(o.LabourCost, 2),
		} {
			w.Leaf("td", cell)
		}
		w.End()
	}
	w.End()
	w.End()
	w.End()
	w.Leaf("p", p.spreadWords(), "class", "note")
}

// money heads a column of amounts, with the currency where the job states one.
func (p *page) money(name string) string {
	if p.rec.Currency == "" {
		return name
	}
	return name + ", " + p.rec.Currency
}

// lengthWords lists the metres of each fabric.
func lengthWords(o nest.SpreadOption) string {
	var out []string
	if o.Chosen {
		out = append(out, "the job's choice")
	}
	for _, f := range o.Fabrics {
		out = append(out, f.Fabric+" "+metres(f.Length)+thin+"m")
	}
	return strings.Join(out, ", ")
}

// spreadWords says what spreading saves and what it costs, and how far the
// figures can be trusted.
func (p *page) spreadWords() string {
	var none, laid nest.SpreadOption
	for _, o := range p.rec.SpreadOptions {
		if o.Name == nest.OptionNone {
			none = o
		}
		if o.Name == nest.OptionLaid || o.Chosen && laid.Name != nest.OptionLaid {
			laid = o
		}
	}
	said := "Cutting every fabric single is the plan chosen."
	if laid.Spreads > 0 {
		saved := math.Round(none.Minutes.Total() - laid.Minutes.Total())
		verb := "saves"
		if saved < 0 {
			verb = "costs"
		}
		said = fmt.Sprintf("Against cutting every fabric single, the plan as laid %s %s of work, spreading and handling counted, and draws %s of fabric %s.",
			verb, count(int(math.Abs(saved)), "minute", "minutes"),
			metres(abs(laid.Length-none.Length))+thin+"m", moreOrLess(laid.Length-none.Length))
	}
	how := "All rows but the last were laid with equally short searches; the last is this plan after its whole search."
	if none.Foretold {
		how = "All rows but the last are foretold from areas, not laid; the last is this plan as laid, so part of what it saves may be better packing."
	}
	return said + " " + how + " Minutes, those of cutting too, are estimates from lengths and counts at the rates of the job, or from common practice where it states none."
}

func moreOrLess(v float64) string {
	if v < 0 {
		return "less"
	}
	return "more"
}

func abs(v float64) float64 { return max(v, -v) }
