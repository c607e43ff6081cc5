package study

import (
	"sort"
	"strings"

	"plyroom/nest/account"
	"plyroom/shapes"
)

// A Stat is what the seeds of one combination drew, of one fabric or of all.
// Lengths, areas and costs are per set of the parts.
type Stat struct {
	// Fabric is empty for all.
	Fabric string `json:"fabric,omitempty"`
	// Metres and Area are what is drawn, m and m²; Cost in the job's currency.
	Metres Sample `json:"metres"`
	Area   Sample `json:"area_m2"`
	Cost   Sample `json:"cost"`
	Priced bool   `json:"priced"`
	// Yield is plies net over fabric drawn, 0 to 1. Bound is a length no plan
	// could beat, m.
	Yield Sample  `json:"yield"`
	Bound float64 `json:"bound_m"`
	// MostOff is the fibre's largest deviation under any seed, degrees.
	MostOff float64 `json:"most_off_deg"`
	// Panels and Plies are of all sets together.
	Plies  int `json:"plies"`
	Panels int `json:"panels,omitempty"`
}

// A Row is one combination of settings.
type Row struct {
	Settings []Setting `json:"settings"`
	Words    string    `json:"words"`
	// At says where each setting lies on its axis, mm, degrees or sets; nil
	// where it is no figure.
	At   []*float64 `json:"at"`
	Sets int        `json:"sets"`
	// Seeds of Of seeds are done.
	Seeds int `json:"seeds"`
	Of    int `json:"of"`
	// Cannot says why it cannot be laid under some seed.
	Cannot  string `json:"cannot,omitempty"`
	Total   Stat   `json:"total"`
	Fabrics []Stat `json:"fabrics"`
	// Against is what the best row saves against this one per set, in the
	// currency or m² as Table.ByCost says; Best marks that row.
	Against *Saving `json:"against_best,omitempty"`
	Best    bool    `json:"best,omitempty"`
	// Pictures are the layouts under the first seed.
	Pictures []Picture `json:"-"`
	// values are the figures seed by seed.
	values []figures
}

// figures are one seed's, per set.
type figures struct {
	known              bool
	metres, area, cost float64
	priced             bool
}

// A RuleCost is what one rule costs: what is saved where it is relaxed, per set
// of the parts.
type RuleCost struct {
	Rule
	// Rank counts from 1, the dearest rule first.
	Rank  int `json:"rank"`
	Seeds int `json:"seeds"`
	Of    int `json:"of"`
	// Cannot says why the relaxed job cannot be laid.
	Cannot string `json:"cannot,omitempty"`
	// Metres, Area (m²) and Money are what is saved. The verdicts of each are
	// on that figure.
	Metres Saving `json:"metres"`
	Area   Saving `json:"area_m2"`
	Money  Saving `json:"money"`
	Priced bool   `json:"priced"`
	// Divided counts the panels there are more than without: of plies that are
	// divided because they may be.
	Divided int `json:"divided,omitempty"`
}

// Verdict is the one to act on: on money where prices are known, else on area.
func (r *RuleCost) Verdict() Verdict {
	if r.Priced {
		return r.Money.Verdict
	}
	return r.Area.Verdict
}

// A Table is a study as far as it is done.
type Table struct {
	Spec     Spec   `json:"spec"`
	Currency string `json:"currency,omitempty"`
	// Parts are those of the job, as Picture.Parts counts them.
	Parts []string `json:"parts"`
	// Done of Nests nests have a result; Missing are the IDs of the others.
	Nests   int      `json:"nests"`
	Done    int      `json:"done"`
	Missing []string `json:"missing,omitempty"`
	// ByCost says that rows and rules are ranked by cost, not by area.
	ByCost bool  `json:"by_cost"`
	Rows   []Row `json:"rows,omitempty"`
	// Base is the job as it is, which rules are measured against.
	Base  *Row       `json:"base,omitempty"`
	Rules []RuleCost `json:"rules,omitempty"`
}

// tinyArea and tinyMoney are below the differences that mean anything, m² and
// currency per set.
const (
	tinyArea  = 1e-3
	tinyMoney = 5e-3
)

// Merge sums up the results there are. It depends on the set of results alone,
// not on where or in which order they came about.
func (p *Plan) Merge(results map[string]*Outcome) *Table {
	t := &Table{Spec: p.Spec, Nests: len(p.Nests)}
	for _, n := range p.Nests {
		if results[n.ID] == nil {
			t.Missing = append(t.Missing, n.ID)
		} else {
			t.Done++
		}
	}
	var base *Row
	var ruleRows []*Row
	seeds := p.Spec.Seeds
	for i := 0; i+seeds <= len(p.Cases); i += seeds {
		cases := p.Cases[i : i+seeds]
		if i == 0 {
			t.Currency = cases[0].job.Currency
			for _, part := range cases[0].job.Parts {
				t.Parts = append(t.Parts, part.Name)
			}
		}
		r := p.row(cases, results)
		switch {
		case cases[0].Rule >= 0:
			ruleRows = append(ruleRows, r)
		case cases[0].Base:
			base = r
		default:
			t.Rows = append(t.Rows, *r)
		}
	}
	t.ByCost = true
	for i := range t.Rows {
		t.ByCost = t.ByCost && (t.Rows[i].Seeds == 0 || t.Rows[i].Total.Priced)
	}
	if base != nil {
		t.ByCost = t.ByCost && (base.Seeds == 0 || base.Total.Priced)
		t.Base = base
		t.rules(p, ruleRows, results)
	}
	t.best()
	return t
}

// row sums up the seeds of one combination.
func (p *Plan) row(cases []Case, results map[string]*Outcome) *Row {
	c := &cases[0]
	r := &Row{Settings: c.Settings, Words: c.Words(), Sets: c.Sets, Of: len(cases), Cannot: c.Fault, values: make([]figures, len(cases))}
	for _, x := range c.Settings {
		r.At = append(r.At, x.at(c.job))
	}
	if c.Fault != "" {
		return r
	}
	per := 1 / float64(c.Sets)
	seen := map[string]int{}
	type lists struct{ metres, area, cost, yield []float64 }
	all, each := lists{}, []lists{}
	total := Stat{Priced: true}
seeds:
	for k := range cases {
		var lines []Line
		for _, n := range cases[k].Nests {
			o := results[p.Nests[n].ID]
			switch {
			case o == nil:
				continue seeds
			case o.Cannot != "":
				r.Cannot = o.Cannot
				continue seeds
			}
			lines = append(lines, o.Lines...)
			if k == 0 {
				r.Pictures = append(r.Pictures, o.Pictures...)
			}
		}
		v := figures{known: true, priced: true}
		drawn, net, bound, plies, panels := 0.0, 0.0, 0.0, 0, 0
		for _, l := range lines {
			at, ok := seen[l.Fabric]
			if !ok {
				at = len(r.Fabrics)
				seen[l.Fabric] = at
				r.Fabrics = append(r.Fabrics, Stat{Fabric: l.Fabric, Priced: true})
				each = append(each, lists{})
			}
			f := &r.Fabrics[at]
			cost, ok := account.Cost(fabricOf(c.job, l.Fabric), l.Length, l.Drawn)
			v.metres += float64(l.Length / 1e3 * per)
			v.area += float64(l.Drawn / 1e6 * per)
			v.cost += float64(cost * per)
			v.priced = v.priced && ok
			drawn, net, bound, plies, panels = drawn+l.Drawn, net+l.Net, bound+l.Bound, plies+l.Plies, panels+l.Panels
			f.Priced = f.Priced && ok
			f.Plies, f.Panels, f.Bound = l.Plies, l.Panels, l.Bound/1e3*per
			f.MostOff = max(f.MostOff, l.MostOff)
			e := &each[at]
			e.metres = append(e.metres, l.Length/1e3*per)
			e.area = append(e.area, l.Drawn/1e6*per)
			e.cost = append(e.cost, cost*per)
			e.yield = append(e.yield, l.Net/l.Drawn)
			total.MostOff = max(total.MostOff, l.MostOff)
		}
		total.Priced = total.Priced && v.priced
		total.Plies, total.Panels, total.Bound = plies, panels, bound/1e3*per
		all.metres, all.area = append(all.metres, v.metres), append(all.area, v.area)
		all.cost, all.yield = append(all.cost, v.cost), append(all.yield, ratio(net, drawn))
		r.values[k] = v
		r.Seeds++
	}
	sum := func(s *Stat, l lists) {
		s.Metres, s.Area, s.Cost, s.Yield = NewSample(l.metres), NewSample(l.area), NewSample(l.cost), NewSample(l.yield)
	}
	for i := range r.Fabrics {
		sum(&r.Fabrics[i], each[i])
	}
	sum(&total, all)
	r.Total = total
	return r
}

func ratio(a, b float64) float64 {
	if b <= 0 {
		return 0
	}
	return a / b
}

func fabricOf(j *shapes.Job, name string) *shapes.Fabric {
	for _, f := range j.Fabrics {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// rules weighs every relaxed rule against the job as it is, over the fabrics
// the rule concerns.
func (t *Table) rules(p *Plan, rows []*Row, results map[string]*Outcome) {
	var metres, area, money [][]float64
	bases := map[int]Case{}
	at := 0
	for i := range p.Cases {
		if p.Cases[i].Base {
			bases[at] = p.Cases[i]
			at++
		}
	}
	for i, r := range p.Rules {
		row := rows[i]
		rc := RuleCost{Rule: r, Of: row.Of, Cannot: row.Cannot, Priced: true}
		var dm, da, dc []float64
		for k := range row.values {
			if !row.values[k].known {
				continue
			}
			b := bases[k]
			// The base of the same fabrics and seed.
			groups := map[int]bool{}
			for _, n := range b.Nests {
				for _, f := range p.Nests[n].Fabrics {
					for _, g := range r.Fabrics {
						groups[n] = groups[n] || f == g
					}
				}
			}
			part := b
			part.Nests = nil
			for _, n := range b.Nests {
				if groups[n] {
					part.Nests = append(part.Nests, n)
				}
			}
			base := p.row([]Case{part}, results)
			if !base.values[0].known {
				if base.Cannot != "" {
					rc.Cannot = "as it is, the job cannot be laid: " + base.Cannot
				}
				continue
			}
			was, is := base.values[0], row.values[k]
			rc.Divided = max(rc.Divided, row.Total.Panels-base.Total.Panels)
			rc.Priced = rc.Priced && was.priced && is.priced
			dm = append(dm, was.metres-is.metres)
			da = append(da, was.area-is.area)
			dc = append(dc, was.cost-is.cost)
		}
		rc.Seeds = len(dm)
		rc.Priced = rc.Priced && len(dm) > 0
		metres, area, money = append(metres, dm), append(area, da), append(money, dc)
		t.Rules = append(t.Rules, rc)
	}
	var pools []string
	for _, r := range t.Rules {
		pools = append(pools, strings.Join(r.Fabrics, "\x00"))
	}
	m, a, c := Judge(metres, pools, rounding/1e3), Judge(area, pools, tinyArea), Judge(money, pools, tinyMoney)
	for i := range t.Rules {
		t.Rules[i].Metres, t.Rules[i].Area, t.Rules[i].Money = m[i], a[i], c[i]
	}
	sort.SliceStable(t.Rules, func(i, j int) bool {
		x, y := &t.Rules[i], &t.Rules[j]
		if (x.Seeds > 0) != (y.Seeds > 0) {
			return x.Seeds > 0
		}
		if t.ByCost {
			return x.Money.Mean > y.Money.Mean
		}
		return x.Area.Mean > y.Area.Mean
	})
	for i := range t.Rules {
		t.Rules[i].Rank = i + 1
	}
}

// best finds the row that takes least, and weighs it against the others.
func (t *Table) best() {
	value := func(f figures) float64 {
		if t.ByCost {
			return f.cost
		}
		return f.area
	}
	best, least := -1, 0.0
	for i := range t.Rows {
		r := &t.Rows[i]
		if r.Seeds < r.Of {
			continue
		}
		m := r.Total.Area.Mean
		if t.ByCost {
			m = r.Total.Cost.Mean
		}
		if best < 0 || m < least {
			best, least = i, m
		}
	}
	if best < 0 {
		return
	}
	t.Rows[best].Best = true
	var paired [][]float64
	var of []int
	for i := range t.Rows {
		if i == best {
			continue
		}
		var d []float64
		for k, v := range t.Rows[i].values {
			if w := t.Rows[best].values[k]; v.known && w.known {
				d = append(d, value(v)-value(w))
			}
		}
		if len(d) > 0 {
			paired, of = append(paired, d), append(of, i)
		}
	}
	tiny := tinyArea
	if t.ByCost {
		tiny = tinyMoney
	}
	for i, s := range Judge(paired, nil, tiny) {
		t.Rows[of[i]].Against = &s
	}
}

// A Loss is a shard with nests that have no result.
type Loss struct {
	Shard   Shard
	Missing int
	Of      int
}

// Lost lists the shards, of n, that lack results.
func (p *Plan) Lost(results map[string]*Outcome, n int) []Loss {
	var out []Loss
	for k := 1; k <= n; k++ {
		l := Loss{Shard: Shard{k, n}}
		for i := k - 1; i < len(p.Nests); i += n {
			l.Of++
			if results[p.Nests[i].ID] == nil {
				l.Missing++
			}
		}
		if l.Missing > 0 {
			out = append(out, l)
		}
	}
	return out
}
