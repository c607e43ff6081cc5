package plan

import (
	"context"
	"math"
	"time"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes"
)

// choices are the ways to spread that are laid and compared, most spreads
// first.
var choices = []demand.Choice{
	{Across: true, Self: true, Kits: true},
	{Across: true, Self: true, Kits: true, OneOrder: true},
	{Across: true, Kits: true},
	{Self: true, Kits: true},
	{Across: true, Self: true},
	{Across: true},
}

// An option is a scheme and what it comes to, laid or foretold.
type option struct {
	*draft
	nest.SpreadOption
}

// optionNames are the criteria, in the order in which they are laid where the
// job asks for none of them.
var optionNames = []string{nest.OptionRecommended, nest.OptionTime, nest.OptionFabric}

// options sets the ways to spread the pieces given side by side, the one
// without spreads first: those that promise the least time, the least fabric
// and the least of both. All are laid with the same small effort where the plies
// are few or the time allows it; else only the first is, and all figures are
// foretold. The job's own choice stands at chosen.
//
// Beside the fixed choices, ways are looked at that leave spreads out of them,
// one after the other as long as that promises more: a spread of few plies may
// not be worth its ends and its set-up.
func (p *planner) options(ctx context.Context, of []int) (out []option, chosen int, err error) {
	began := time.Now()
	first, err := p.lay(ctx, scheme{rest: of}, budget{trial: true})
	if err != nil {
		return nil, 0, err
	}
	took := time.Since(began)
	out = []option{{first, p.figures("", first.layouts)}}
	if !p.mayspread() || len(first.missing) > 0 {
		return out, 0, nil
	}
	e := p.newEstimator(first)
	promised := p.promising(e, of)
	foretold := []option{e.of(out[0].scheme)}
	foretold[0].draft = first
	seen := map[string]bool{out[0].scheme.key(): true}
	for _, name := range optionNames {
		s := promised[name]
		if key := s.key(); !seen[key] {
			seen[key] = true
			foretold = append(foretold, e.of(s))
		}
	}
	for _, o := range foretold[1:] {
		if len(of) > smallTrial && p.settings.Effort > 0 || !p.affords(ctx, took) {
			for i := range foretold {
				foretold[i].Foretold = true
			}
			return foretold, p.best(p.policy(), foretold), nil
		}
		d, err := p.lay(ctx, o.scheme, budget{trial: true})
		if err != nil {
			return nil, 0, err
		}
		if len(d.missing) == 0 { // else the stock cannot hold the spread
			out = append(out, option{d, p.figures("", d.layouts)})
		}
	}
	return out, p.best(p.policy(), out), nil
}

// promising foretells the ways to spread and returns the best scheme by each
// criterion.
func (p *planner) promising(e *estimator, of []int) map[string]scheme {
	all := []option{e.of(scheme{rest: of})}
	sp := p.spreader()
	for _, c := range choices {
		if stacks, rest := p.spread(sp, of, c); len(stacks) > 0 {
			all = append(all, e.of(scheme{stacks, rest}))
		}
	}
	out := map[string]scheme{}
	for _, name := range optionNames {
		known := append([]option(nil), all...)
		for start := 1; start < len(all); start++ {
			for at, gained := all[start], true; gained; {
				gained = false
				for k := range at.scheme.stacks {
					o := e.of(at.scheme.without(k))
					if p.best(name, []option{at, o}) == 1 {
						known = append(known, o)
						at, gained = o, true
						break
					}
				}
			}
		}
		out[name] = known[p.best(name, known)].scheme
	}
	return out
}

// mayspread reports whether the job allows spreads and asks for any.
func (p *planner) mayspread() bool {
	return p.rules.Layers > 1 && len(p.rules.Spreads) > 0 && p.rules.SpreadPolicy != shapes.SpreadNone
}

// key tells schemes apart.
func (s scheme) key() string {
	key := ""
	for _, st := range s.stacks {
		key += "|"
		key += layersKey(st.Layers)
		for _, k := range st.Kinds {
			for _, c := range k.Cuts {
				key += keyOf(c) + ";"
			}
		}
	}
	return key
}

func layersKey(layers []demand.Layer) string {
	key := ""
	for _, l := range layers {
		key += l.Fabric + "\n" + l.Lot + "\n" + face(l.FaceDown) + "\n"
	}
	return key
}

// without is the scheme with the plies of one spread cut single.
func (s scheme) without(k int) scheme {
	var out scheme
	out.rest = append(out.rest, s.rest...)
	for i, st := range s.stacks {
		if i != k {
			out.stacks = append(out.stacks, st)
			continue
		}
		for _, kind := range st.Kinds {
			for _, c := range kind.Cuts {
				out.rest = append(out.rest, c...)
			}
		}
	}
	return out
}

// fabricSlack is how much more fabric than the least may be drawn to save
// minutes where prices do not tell what it is worth, as a share.
const fabricSlack = 0.02

// best is the place of the best option by name. Of equals the first wins, so
// that nothing is spread for nothing.
//
// Recommended is the least cost of fabric and labour together. Where a fabric
// has no price it is the fewest minutes among the options that draw at most
// fabricSlack more than the one that draws least.
func (p *planner) best(name string, options []option) int {
	least := math.Inf(1)
	for _, o := range options {
		least = math.Min(least, o.Drawn)
	}
	value := func(o *option) (first, second float64) {
		fabric := o.FabricCost
		if !o.Priced {
			fabric = o.Drawn
		}
		switch name {
		case nest.OptionTime:
			return o.Minutes.Total(), fabric
		case nest.OptionFabric:
			return fabric, o.Minutes.Total()
		case nest.OptionRecommended:
			if o.Priced {
				return o.FabricCost + o.LabourCost, o.Minutes.Total()
			}
			if o.Drawn > least*(1+fabricSlack) {
				return math.Inf(1), o.Drawn
			}
			return o.Minutes.Total(), o.Drawn
		}
		return 0, 0 // none: the first
	}
	at := 0
	for i := range options {
		a1, a2 := value(&options[i])
		b1, b2 := value(&options[at])
		if a1 < b1-1e-9 || a1 < b1+1e-9 && a2 < b2-1e-9 {
			at = i
		}
	}
	return at
}

// policy is the name of the option the job asks for.
func (p *planner) policy() string {
	if p.rules.SpreadPolicy == "" {
		return nest.OptionRecommended
	}
	return string(p.rules.SpreadPolicy)
}

// table lists the options by name for the record, the one laid last.
func (p *planner) spreadTable(options []option, laid []nest.Layout) []nest.SpreadOption {
	if len(options) < 2 {
		return nil
	}
	var out []nest.SpreadOption
	for _, name := range []string{nest.OptionNone, nest.OptionTime, nest.OptionFabric, nest.OptionRecommended} {
		o := options[p.best(name, options)].SpreadOption
		o.Name, o.Chosen = name, name == p.policy()
		out = append(out, o)
	}
	return append(out, p.figures(nest.OptionLaid, laid))
}
