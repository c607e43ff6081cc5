package buy

import (
	"context"
	"maps"
	"slices"

	"plyroom/nest/account"
	"plyroom/nest/study"
	"plyroom/shapes"
)

// A Group is all units made by one nest of several sets, repeated.
type Group struct {
	// Sets are nested together, Times times; Rest more are nested once.
	Sets  int `json:"sets"`
	Times int `json:"times"`
	Rest  int `json:"rest,omitempty"`
	// Metres and Area (m²) are what all take; Error is that of an estimate, m.
	Metres float64 `json:"metres"`
	Error  float64 `json:"error_m,omitempty"`
	Area   float64 `json:"area_m2"`
	Cost   float64 `json:"cost"`
	Priced bool    `json:"priced"`
	// SavesMetres, SavesArea and SavesCost are against the first group.
	SavesMetres float64 `json:"saves_m"`
	SavesArea   float64 `json:"saves_m2"`
	SavesCost   float64 `json:"saves_cost"`

	// fabrics are the metres, square metres and cost of each fabric.
	fabrics map[string]share
}

// A share is what a group takes of one fabric.
type share struct {
	metres, error, area, cost float64
	priced                    bool
}

// LayGroups lays one nest for each number of sets, and adds the needs of all
// units nested together as the last group. Sizes that are no smaller than all
// are left out, and so are those that were not begun when the context ended.
func LayGroups(ctx context.Context, j *shapes.Job, lay Layer, sizes []int, together *Needs) ([]Group, error) {
	all := study.Sets(j)
	laid := map[int]*Needs{}
	nestOf := func(sets int) (*Needs, error) {
		if n := laid[sets]; n != nil {
			return n, nil
		}
		n, err := LayNeeds(ctx, study.WithSets(j, sets), lay, 0, nil)
		laid[sets] = n
		return n, err
	}
	var out []Group
	for _, size := range sizes {
		if size < 1 || size >= all || ctx.Err() != nil {
			continue
		}
		g := Group{Sets: size, Times: all / size, Rest: all % size, Priced: true}
		n, err := nestOf(size)
		if err == nil {
			g.add(j, n, float64(g.Times))
			if g.Rest > 0 {
				if n, err = nestOf(g.Rest); err == nil {
					g.add(j, n, 1)
				}
			}
		}
		if err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	if len(out) == 0 {
		return nil, nil
	}
	g := Group{Sets: all, Times: 1, Priced: true}
	g.add(j, together, 1)
	out = append(out, g)
	for i := range out {
		for k := range i {
			if out[i].Sets%out[k].Sets == 0 || out[i].Sets == all {
				out[i].noWorse(&out[k])
			}
		}
	}
	first := out[0]
	for i := range out {
		out[i].SavesMetres = first.Metres - out[i].Metres
		out[i].SavesArea = first.Area - out[i].Area
		out[i].SavesCost = first.Cost - out[i].Cost
	}
	return out, nil
}

func (g *Group) add(j *shapes.Job, n *Needs, times float64) {
	if g.fabrics == nil {
		g.fabrics = map[string]share{}
	}
	for _, f := range n.Fabrics {
		cost, ok := account.Cost(jobFabric(j, f.Fabric), f.Length, f.Area)
		s, before := g.fabrics[f.Fabric]
		g.fabrics[f.Fabric] = share{s.metres + times*f.Length/1e3, s.error + times*f.Error/1e3,
			s.area + times*f.Area/1e6, s.cost + float64(times*cost), ok && (s.priced || !before)}
	}
	g.total()
}

// noWorse takes of every fabric what a smaller group takes of it where that is
// less: its nests, repeated, are a plan of this one, which a search for more
// plies at once may have missed.
func (g *Group) noWorse(smaller *Group) {
	for name, s := range g.fabrics {
		if o, ok := smaller.fabrics[name]; ok && o.metres < s.metres {
			g.fabrics[name] = o
		}
	}
	g.total()
}

func (g *Group) total() {
	g.Metres, g.Error, g.Area, g.Cost, g.Priced = 0, 0, 0, 0, true
	for _, name := range slices.Sorted(maps.Keys(g.fabrics)) {
		s := g.fabrics[name]
		g.Metres += s.metres
		g.Error += s.error
		g.Area += s.area
		g.Cost += s.cost
		g.Priced = g.Priced && s.priced
	}
}
