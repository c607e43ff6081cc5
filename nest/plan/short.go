package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// A kitKey is one unit of a part.
type kitKey struct {
	part string
	unit int
}

// kits lists the kits of the demand with their pieces: all parts' first units,
// then their second, so that sets of parts come out whole.
func (p *planner) kits() ([]kitKey, map[kitKey][]int) {
	of := map[kitKey][]int{}
	var keys []kitKey
	for i, d := range p.demand {
		k := kitKey{d.Part, d.Unit}
		if of[k] == nil {
			keys = append(keys, k)
		}
		of[k] = append(of[k], i)
	}
	slices.SortStableFunc(keys, func(a, b kitKey) int { return a.unit - b.unit })
	return keys, of
}

// whatFits chooses what is laid where the stock runs short: whole kits first,
// in order, each where it fits beside those before it; then, of the kits that
// cannot be whole, all plies of one fabric at a time where they fit. The rest
// is missing.
func (p *planner) whatFits(ctx context.Context) ([]int, error) {
	keys, of := p.kits()
	var scope []int
	fits := func(more []int) (bool, error) {
		if ctx.Err() != nil {
			return false, nil
		}
		d, err := p.lay(ctx, scheme{rest: append(slices.Clone(scope), more...)}, budget{trial: true})
		return err == nil && len(d.missing) == 0, err
	}
	var broken []kitKey
	for _, k := range keys {
		ok, err := fits(of[k])
		if err != nil {
			return nil, err
		}
		if ok {
			scope = append(scope, of[k]...)
		} else {
			broken = append(broken, k)
		}
	}
	for _, k := range broken {
		for _, f := range p.order {
			var part []int
			for _, i := range of[k] {
				if p.demand[i].Fabric == f.Name {
					part = append(part, i)
				}
			}
			if len(part) == 0 {
				continue
			}
			ok, err := fits(part)
			if err != nil {
				return nil, err
			}
			if ok {
				scope = append(scope, part...)
			}
		}
	}
	slices.Sort(scope)
	return scope, nil
}

// shortKits words what is missing for the record.
func (p *planner) shortKits(missing []int) []nest.Short {
	var out []nest.Short
	at := map[kitKey]int{}
	missing = slices.Clone(missing)
	slices.Sort(missing)
	for _, i := range missing {
		d := p.demand[i]
		k := kitKey{d.Part, d.Unit}
		n, ok := at[k]
		if !ok {
			n = len(out)
			at[k] = n
			out = append(out, nest.Short{Part: d.Part, Unit: d.Unit})
		}
		out[n].Missing = append(out[n].Missing, nest.Missing{Ply: d.Ply, Copy: d.Copy, Fabric: d.Fabric})
	}
	return out
}

// shortage names what found no room: plies, then kits, then metres of fabric.
func (p *planner) shortage(missing []int) shapes.Problems {
	missing = slices.Clone(missing)
	slices.Sort(missing)
	type name struct{ part, ply, fabric string }
	counts := map[name]int{}
	var plies []name
	area := map[string]float64{}
	for _, i := range missing {
		d := p.demand[i]
		n := name{d.Part, d.Ply, d.Fabric}
		if counts[n] == 0 {
			plies = append(plies, n)
		}
		counts[n]++
		area[d.Fabric] += polygonArea(p.shapes[d.Shape].Cut)
	}
	var out shapes.Problems
	for _, n := range plies {
		out = append(out, shapes.Problem{Severity: shapes.Fault, Ply: fmt.Sprintf("%s, ply %s", n.part, n.ply),
			Message: fmt.Sprintf("no room for %d of it on the rolls of fabric %q", counts[n], n.fabric)})
	}
	for _, s := range p.shortKits(missing) {
		out = append(out, shapes.Problem{Severity: shapes.Fault,
			Message: fmt.Sprintf("the kit of %s, unit %d, lacks %d %s", s.Part, s.Unit, len(s.Missing), plural(len(s.Missing)))})
	}
	for _, f := range p.order {
		if area[f.Name] > 0 {
			out = append(out, shapes.Problem{Severity: shapes.Fault,
				Message: fmt.Sprintf("fabric %q is short by at least %.1f m%s", f.Name, metresUp(area[f.Name]/p.greatestWidth(f)), flawWords(f)),
				Hint:    "add a roll, or order fewer units; plyroom buy says how much the job needs; --allow-short lays what there is room for"})
		}
	}
	return out
}

// metresUp turns a length above 0 (mm) into metres, rounded up to a tenth: what
// is missing is never nothing. A rounding's worth is no tenth.
func metresUp(mm float64) float64 { return math.Max(1, math.Ceil(mm/100-1e-6)) / 10 }

// flawWords says how much of a fabric's rolls is flawed; nothing where none is.
func flawWords(f *shapes.Fabric) string {
	flawed, held := 0.0, 0.0
	for _, r := range f.Rolls {
		at := 0.0
		spans := slices.Clone(r.Flaws)
		slices.SortFunc(spans, func(a, b shapes.Span) int { return cmp.Compare(a.From, b.From) })
		for _, s := range spans {
			from, to := math.Max(s.From, at), s.To
			if r.Length > 0 {
				to = math.Min(to, r.Length)
			}
			if to > from {
				flawed += to - from
				at = to
			}
		}
		held += r.Length
	}
	if flawed == 0 {
		return ""
	}
	return fmt.Sprintf("; flaws take %.1f m of the %.1f m on its rolls", metresUp(flawed), metresUp(held))
}

func plural(n int) string {
	if n == 1 {
		return "piece"
	}
	return "pieces"
}
