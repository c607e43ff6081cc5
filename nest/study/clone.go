package study

import (
	"slices"

	"plyroom/shapes"
)

// clone copies a job so that fabrics, parts, plies and rules may be changed.
// Outlines are shared; nothing changes them.
func clone(j *shapes.Job) *shapes.Job {
	c := *j
	c.Fabrics = nil
	fabric := map[*shapes.Fabric]*shapes.Fabric{}
	for _, f := range j.Fabrics {
		g := *f
		if f.Price != nil {
			p := *f.Price
			g.Price = &p
		}
		g.Rolls = nil
		fabric[f] = &g
		c.Fabrics = append(c.Fabrics, &g)
	}
	c.Parts = nil
	for _, p := range j.Parts {
		q := *p
		q.Plies = nil
		for _, ply := range p.Plies {
			d := *ply
			d.Fabric = fabric[ply.Fabric]
			if ply.Split != nil {
				s := *ply.Split
				d.Split = &s
			}
			q.Plies = append(q.Plies, &d)
		}
		c.Parts = append(c.Parts, &q)
	}
	if t := j.Cutting.Table; t != nil {
		u := *t
		c.Cutting.Table = &u
	}
	c.Notes = slices.Clone(j.Notes)
	return &c
}

// only keeps the plies of some fabrics, and the parts that have any.
func only(j *shapes.Job, fabrics []string) *shapes.Job {
	c := clone(j)
	c.Fabrics = slices.DeleteFunc(c.Fabrics, func(f *shapes.Fabric) bool { return !slices.Contains(fabrics, f.Name) })
	for _, p := range c.Parts {
		p.Plies = slices.DeleteFunc(p.Plies, func(d *shapes.Ply) bool { return !slices.Contains(fabrics, d.Fabric.Name) })
	}
	c.Parts = slices.DeleteFunc(c.Parts, func(p *shapes.Part) bool { return len(p.Plies) == 0 })
	// In the order of the parts, so that equal rules are equal words.
	c.Cutting.KeepTogether = nil
	for _, p := range c.Parts {
		if j.Cutting.Keeps(p.Name) {
			c.Cutting.KeepTogether = append(c.Cutting.KeepTogether, p.Name)
		}
	}
	c.Cutting.Spreads = nil
	for _, s := range j.Cutting.Spreads {
		var left []string
		for _, f := range s {
			if slices.Contains(fabrics, f) {
				left = append(left, f)
			}
		}
		if len(left) > 1 {
			c.Cutting.Spreads = append(c.Cutting.Spreads, left)
		}
	}
	return c
}

// groups lists the fabrics that plies are cut from, those together that may be
// spread together: groups can be laid apart without changing anything.
func groups(j *shapes.Job) [][]string {
	cut := map[string]bool{}
	for _, p := range j.Parts {
		for _, d := range p.Plies {
			cut[d.Fabric.Name] = true
		}
	}
	of := map[string]int{}
	for i, f := range j.Fabrics {
		of[f.Name] = i
	}
	if j.Cutting.Layers > 1 && j.Cutting.SpreadPolicy != shapes.SpreadNone {
		for _, s := range j.Cutting.Spreads {
			for _, name := range s[1:] {
				from, to := of[name], of[s[0]]
				for f, g := range of {
					if g == from {
						of[f] = to
					}
				}
			}
		}
	}
	var out [][]string
	at := map[int]int{}
	for _, f := range j.Fabrics {
		if !cut[f.Name] {
			continue
		}
		g := of[f.Name]
		if _, ok := at[g]; !ok {
			at[g] = len(out)
			out = append(out, nil)
		}
		out[at[g]] = append(out[at[g]], f.Name)
	}
	return out
}

// Sets is how many sets of its parts a job makes: the greatest number that
// divides the units of every part. Figures "per set" are divided by it.
func Sets(j *shapes.Job) int {
	g := 0
	for _, p := range j.Parts {
		a, b := g, p.Units
		for b != 0 {
			a, b = b, a%b
		}
		g = a
	}
	return max(g, 1)
}

// Clone copies a job without its stock, so that fabrics, parts, plies and rules
// of the copy may be changed. Outlines are shared.
func Clone(j *shapes.Job) *shapes.Job { return clone(j) }

// Only is a copy of the job with the plies of some fabrics alone, without
// stock.
func Only(j *shapes.Job, fabrics ...string) *shapes.Job { return only(j, fabrics) }

// WithSets is a copy of the job that makes so many sets of its parts, without
// stock.
func WithSets(j *shapes.Job, sets int) *shapes.Job {
	c := clone(j)
	have := Sets(c)
	for _, p := range c.Parts {
		p.Units = p.Units / have * sets
	}
	return c
}

// WithWidth gives a fabric of a copied job another width. A price per metre or
// roll grows with it.
func WithWidth(j *shapes.Job, fabric string, width float64) error {
	return Setting{Axis: "width", Target: fabric, Value: figure(width)}.apply(j)
}
