package demand

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Choice says which plies are cut together.
type Choice struct {
	// Across stacks different fabrics, Self several layers of one.
	Across, Self bool
	// Kits lets plies of different kits be cut together; without it only plies
	// of one part and unit are, so that each pile is lifted as it is.
	Kits bool
	// OneOrder lays two fabrics in one order only, the one in which more piles
	// can be lifted as they are: fewer layouts.
	OneOrder bool
}

// A Spreader finds what can be cut together.
//
// Plies pair by equivalence: they need the same outline as cut and a turn
// that each one's own fabric allows it, so that a mat pairs with any direction,
// and a ply with its opposite hand where one of them may be turned over or its
// fabric lies face down.
type Spreader struct {
	// Pieces are the demand and Table its shapes.
	Pieces []nest.Demand
	Table  []nest.Shape
	// Fabrics are the job's fabrics by name.
	Fabrics map[string]*shapes.Fabric
	// Rules are the rules of the table.
	Rules *shapes.Cutting
	// Lot tells the only lot a piece may come from; nil, or "", for any.
	Lot func(piece int) string
	// Room tells what rolls and table offer to a stack of layers.
	Room func([]Layer) Room
}

// Spread makes stacks of the pieces given by their place in the demand, and
// lists what is left to be cut single. Plies of one part and unit with
// neighbouring orders come first, and in a pile of one kit the orders rise from
// below, so that it can be lifted as it is. More layers come before fewer.
func (s *Spreader) Spread(of []int, choice Choice) (stacks []Stack, rest []int) {
	g := s.pairing(of)
	patterns := s.patterns(of, choice)
	if choice.OneOrder {
		patterns = g.oneOrder(patterns)
	}
	made := make([][]Cut, len(patterns))
	for n := s.Rules.Layers; n >= 2; n-- {
		g.inKits(patterns, n, made)
	}
	if choice.Kits {
		for i, p := range patterns {
			made[i] = append(made[i], g.anyKits(p)...)
		}
	}
	for i, p := range patterns {
		if len(made[i]) > 0 {
			stacks = append(stacks, g.stack(p, made[i]))
		}
	}
	for _, i := range of {
		if !g.used[i] {
			rest = append(rest, i)
		}
	}
	return stacks, rest
}

// maxPatterns bounds the stacks looked at; groups of many fabrics on a table
// of many layers would have thousands.
const maxPatterns = 300

// patterns lists the stacks of layers that the rules allow, most layers first.
// A fabric may lie on itself where a group of spreads names it.
func (s *Spreader) patterns(of []int, choice Choice) [][]Layer {
	lots := map[string][]string{}
	for _, i := range of {
		f := s.Pieces[i].Fabric
		if lot := s.lot(i); !slices.Contains(lots[f], lot) {
			lots[f] = append(lots[f], lot)
		}
	}
	var out [][]Layer
	add := func(p []Layer) {
		if len(out) < maxPatterns && !slices.ContainsFunc(out, func(q []Layer) bool { return slices.Equal(p, q) }) {
			out = append(out, slices.Clone(p))
		}
	}
	for n := s.Rules.Layers; n >= 2; n-- {
		for _, group := range s.Rules.Spreads {
			var sources []Layer
			for _, f := range group {
				for _, lot := range lots[f] {
					if l := (Layer{Fabric: f, Lot: lot}); !slices.Contains(sources, l) {
						sources = append(sources, l)
					}
				}
			}
			s.arrange(nil, sources, n, choice, add)
		}
	}
	return out
}

// arrange adds every arrangement of n layers out of sources.
func (s *Spreader) arrange(p, sources []Layer, n int, choice Choice, add func([]Layer)) {
	if len(p) < n {
		for _, l := range sources {
			s.arrange(append(slices.Clone(p), l), sources, n, choice, add)
		}
		return
	}
	one := !slices.ContainsFunc(p, func(l Layer) bool { return l.Fabric != p[0].Fabric })
	switch {
	case !one && choice.Across:
		add(p)
	case one && choice.Self && s.Fabrics[p[0].Fabric].Construction != shapes.Core:
		add(p)
		// Face to face, for handed plies.
		q := slices.Clone(p)
		for i := range q {
			q[i].FaceDown = i%2 == 1
		}
		add(q)
	}
}

func (s *Spreader) lot(i int) string {
	if s.Lot == nil {
		return ""
	}
	return s.Lot(i)
}

// A pairing is the state of one Spread.
type pairing struct {
	*Spreader
	class map[string]int
	used  map[int]bool
	order []int // the pieces, in the order of the demand
	turns [][]Turn
	// own caches the turn set of a piece for each side, met the meeting of two
	// turn sets, room the room of a stack and fit whether a class of shapes
	// fits it; all by number.
	own  map[ownKey]int
	met  map[[2]int]int
	room map[string]Room
	fit  map[string]bool
}

type ownKey struct {
	piece int
	down  bool
}

func (s *Spreader) pairing(of []int) *pairing {
	g := &pairing{Spreader: s, class: classes(s.Table), used: map[int]bool{}, order: slices.Clone(of),
		own: map[ownKey]int{}, met: map[[2]int]int{}, room: map[string]Room{}, fit: map[string]bool{}}
	slices.Sort(g.order)
	return g
}

// number files a turn set.
func (g *pairing) number(ts []Turn) int {
	for i, have := range g.turns {
		if slices.Equal(have, ts) {
			return i
		}
	}
	g.turns = append(g.turns, ts)
	return len(g.turns) - 1
}

func (g *pairing) ownTurns(i int, down bool) int {
	k := ownKey{i, down}
	n, ok := g.own[k]
	if !ok {
		d := g.Pieces[i]
		n = g.number(Turns(g.Fabrics[d.Fabric], d, g.Rules.AngleTolerance, down))
		g.own[k] = n
	}
	return n
}

// meet is the number of the turns that a whole pile allows, and false where
// there are none or it does not fit the stack in any of them.
func (g *pairing) meet(p []Layer, cut Cut) (int, bool) {
	at := g.ownTurns(cut[0], p[0].FaceDown)
	for k := 1; k < len(cut); k++ {
		with := g.ownTurns(cut[k], p[k].FaceDown)
		n, ok := g.met[[2]int{at, with}]
		if !ok {
			n = g.number(Intersect(g.turns[at], g.turns[with]))
			g.met[[2]int{at, with}] = n
		}
		at = n
	}
	if len(g.turns[at]) == 0 {
		return at, false
	}
	return at, g.fits(p, cut[0], at)
}

func (g *pairing) fits(p []Layer, piece, turns int) bool {
	name := fmt.Sprint(p)
	shape := g.Pieces[piece].Shape
	key := fmt.Sprint(name, g.class[shape], turns)
	ok, known := g.fit[key]
	if known {
		return ok
	}
	room, have := g.room[name]
	if !have {
		room = g.Room(p)
		g.room[name] = room
	}
	s := g.Table[slices.IndexFunc(g.Table, func(s nest.Shape) bool { return s.ID == shape })]
	along := LeastAlong(Extents(toOrb(s.Cut.Outline), g.turns[turns]), room.Width)
	ok = !math.IsInf(along, 1) && along <= room.Length+FitSlack
	g.fit[key] = ok
	return ok
}

// suits reports whether a piece is of a layer.
func (g *pairing) suits(i int, l Layer) bool {
	return !g.used[i] && g.Pieces[i].Fabric == l.Fabric && g.lot(i) == l.Lot
}

// follows reports whether piece b may lie over piece a: in one kit, orders rise
// from below.
func (g *pairing) follows(a, b int) bool {
	p, q := g.Pieces[a], g.Pieces[b]
	return p.Part != q.Part || p.Unit != q.Unit || p.Order <= q.Order
}

// maxPiles bounds the piles of one outline in one kit that are compared.
const maxPiles = 5000

// inKits takes the piles of n layers whose plies all belong to one kit, those
// whose orders lie nearest together first, and adds them to what was made of
// each pattern.
func (g *pairing) inKits(patterns [][]Layer, n int, made [][]Cut) {
	type kitKey struct {
		part  string
		unit  int
		class int
	}
	type pile struct {
		pattern, span int
		cut           Cut
	}
	groups := map[kitKey][]int{}
	var keys []kitKey
	for _, i := range g.order {
		d := g.Pieces[i]
		k := kitKey{d.Part, d.Unit, g.class[d.Shape]}
		if groups[k] == nil {
			keys = append(keys, k)
		}
		groups[k] = append(groups[k], i)
	}
	for _, k := range keys {
		var piles []pile
		for at, p := range patterns {
			if len(p) != n {
				continue
			}
			var cuts []Cut
			g.piles(p, groups[k], nil, &cuts)
			for _, c := range cuts {
				piles = append(piles, pile{at, g.Pieces[c[n-1]].Order - g.Pieces[c[0]].Order, c})
			}
		}
		slices.SortStableFunc(piles, func(a, b pile) int { return cmp.Compare(a.span, b.span) })
		for _, p := range piles {
			if !slices.ContainsFunc(p.cut, func(i int) bool { return g.used[i] }) {
				made[p.pattern] = append(made[p.pattern], g.take(p.cut))
			}
		}
	}
}

// piles lists the piles of a stack that the pieces of one kit can make.
func (g *pairing) piles(p []Layer, from []int, cut Cut, out *[]Cut) {
	if len(*out) >= maxPiles {
		return
	}
	if len(cut) == len(p) {
		if _, ok := g.meet(p, cut); ok {
			*out = append(*out, slices.Clone(cut))
		}
		return
	}
	for _, i := range from {
		if g.suits(i, p[len(cut)]) && !slices.Contains(cut, i) && (len(cut) == 0 || g.follows(cut[len(cut)-1], i)) {
			g.piles(p, from, append(cut, i), out)
		}
	}
}

// anyKits takes piles of what is left, whatever kits the plies belong to.
func (g *pairing) anyKits(p []Layer) []Cut {
	byClass := map[int][]int{}
	var keys []int
	for _, i := range g.order {
		if g.used[i] {
			continue
		}
		c := g.class[g.Pieces[i].Shape]
		if byClass[c] == nil {
			keys = append(keys, c)
		}
		byClass[c] = append(byClass[c], i)
	}
	var out []Cut
	for _, c := range keys {
		for _, i := range byClass[c] {
			if g.suits(i, p[0]) {
				if cut := g.complete(p, byClass[c], Cut{i}); cut != nil {
					out = append(out, g.take(cut))
				}
			}
		}
	}
	return out
}

// maxLook bounds how many plies are tried as the next of a pile.
const maxLook = 500

// complete finds plies for the layers above those a pile has.
func (g *pairing) complete(p []Layer, from []int, cut Cut) Cut {
	if len(cut) == len(p) {
		return cut
	}
	looked := 0
	for _, i := range from {
		if !g.suits(i, p[len(cut)]) || slices.Contains(cut, i) {
			continue
		}
		if looked++; looked > maxLook {
			return nil
		}
		if slices.ContainsFunc(cut, func(below int) bool { return !g.follows(below, i) }) {
			continue
		}
		next := append(slices.Clone(cut), i)
		if _, ok := g.meet(p, next); !ok {
			continue
		}
		if full := g.complete(p, from, next); full != nil {
			return full
		}
	}
	return nil
}

func (g *pairing) take(c Cut) Cut {
	for _, i := range c {
		g.used[i] = true
	}
	return c
}

// stack groups cuts into kinds.
func (g *pairing) stack(p []Layer, cuts []Cut) Stack {
	out := Stack{Layers: p}
	type key struct{ class, turns int }
	at := map[key]int{}
	for _, c := range cuts {
		n, _ := g.meet(p, c)
		k := key{g.class[g.Pieces[c[0]].Shape], n}
		i, ok := at[k]
		if !ok {
			i = len(out.Kinds)
			at[k] = i
			out.Kinds = append(out.Kinds, CutKind{Shape: g.Pieces[c[0]].Shape, Turns: g.turns[n]})
		}
		out.Kinds[i].Cuts = append(out.Kinds[i].Cuts, c)
	}
	return out
}

// oneOrder keeps, of patterns that hold the same layers in different orders,
// the one with the most piles that are lifted as they are.
func (g *pairing) oneOrder(patterns [][]Layer) [][]Layer {
	best := map[string]int{}
	score := make([]int, len(patterns))
	names := make([]string, len(patterns))
	for i, p := range patterns {
		trial := *g
		trial.used = map[int]bool{}
		made := make([][]Cut, 1)
		trial.inKits([][]Layer{p}, len(p), made)
		score[i] = len(made[0])
		g.turns = trial.turns
		sorted := slices.Clone(p)
		slices.SortFunc(sorted, func(a, b Layer) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
		names[i] = fmt.Sprint(sorted)
		if at, ok := best[names[i]]; !ok || score[i] > score[at] {
			best[names[i]] = i
		}
	}
	var out [][]Layer
	for i, p := range patterns {
		if best[names[i]] == i {
			out = append(out, p)
		}
	}
	return out
}
