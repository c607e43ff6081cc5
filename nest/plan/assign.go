package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"plyroom/nest"
	"plyroom/shapes/steady"
)

// visitWorth is how far a picker would walk along a table, mm, to be spared
// one more layout for the same kit: a kit that is complete on fewer layouts is
// open for a shorter time. Common practice, no source.
const visitWorth = 10_000.0

// assignWork bounds the exchanges weighed, so that large plans stay quick and
// equal plans get equal answers.
const assignWork = 2_000_000

// assign decides which unit gets which of the pieces that are cut alike, so
// that the plies of a kit lie near one another: fewest layouts for each kit,
// and the shortest way along each. Nothing moves on the fabric.
//
// Pieces are alike where shape, fabric, direction, tolerance and hand are the
// same. Plies cut in one stack change owners as a stack, so that what can be
// lifted together stays together. Where the job wants one lot for each fabric
// of a unit, only pieces of the same lots are exchanged, and the kits that are
// kept together keep what they have.
//
// Three beginnings are tried: the plan as it came, a sweep along the table
// that hands the pieces out in the order in which the kits lie on it, and an
// annealing, which takes exchanges for the worse as well, ever more rarely.
// From each, pairs change owners while that shortens the walk; the best end is
// kept. Chance is drawn from a fixed seed.
func assign(rec *nest.Record) {
	a := newAssigner(rec)
	best := math.Inf(1)
	var owners []int
	for _, begin := range []func(){func() {}, a.sweep, a.anneal} {
		a.reset()
		begin()
		if walk := a.swap(); walk < best-leastGain {
			best, owners = walk, slices.Clone(a.at)
		}
	}
	a.at = owners
	a.write()
}

// A stack is one place on a layout: the plies of one cut, by layer.
type stack struct {
	layout int
	// x is its middle along the table, mm; far is x counted through all
	// layouts, one behind the other.
	x, far float64
	plies  []*nest.Placed
}

// An owned is what a stack holds: who gets each ply, by layer.
type owned struct {
	who  []nest.Placed // part, unit, ply, order, copy
	kits []int         // each once
}

type assigner struct {
	stacks []stack
	owned  []owned
	// classes list stacks that are alike.
	classes [][]int
	// at is the stack that each owned lies on, by its index; it begins as the
	// identity.
	at []int
	// ofKit lists what each kit owns.
	ofKit [][]int
	cost  []float64 // of each kit, mm
	// from and to are scratch, by layout; seen lists those in use.
	from, to []float64
	seen     []int
	// kits and costs are scratch of one exchange.
	kits  []int
	costs []float64
}

func newAssigner(rec *nest.Record) *assigner {
	a := &assigner{}
	demand := rec.DemandByKey()
	type unit struct {
		part string
		unit int
	}
	kits := map[unit]int{}
	classOf := map[string]int{}
	offset := 0.0
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		lots := map[int]string{}
		for _, ly := range l.Layers {
			lots[ly.Layer] = ly.Lot
		}
		for _, s := range stacksOf(l) {
			var key strings.Builder
			o := owned{}
			for _, p := range s.plies {
				d := demand[p.Key()]
				if d == nil {
					return &assigner{} // the verifier will say so
				}
				fmt.Fprintf(&key, "%d|%q|%q|%v|%v|%v|", p.Layer, p.Fabric, d.Shape, d.DirectionDeg, d.ToleranceDeg, d.OppositeHand)
				if rec.Rules.Keeps(p.Part) {
					fmt.Fprintf(&key, "%q|%d|", p.Part, p.Unit)
				}
				if rec.Rules.OneLotPerUnit {
					fmt.Fprintf(&key, "%q|", lots[p.Layer])
				}
				o.who = append(o.who, nest.Placed{Part: p.Part, Unit: p.Unit, Ply: p.Ply, Order: p.Order, Copy: p.Copy})
				u := unit{p.Part, p.Unit}
				if _, ok := kits[u]; !ok {
					kits[u] = len(a.ofKit)
					a.ofKit = append(a.ofKit, nil)
				}
				if n := kits[u]; !slices.Contains(o.kits, n) {
					o.kits = append(o.kits, n)
				}
			}
			slices.Sort(o.kits)
			n := len(a.stacks)
			for _, k := range o.kits {
				a.ofKit[k] = append(a.ofKit[k], n)
			}
			class, ok := classOf[key.String()]
			if !ok {
				class = len(a.classes)
				classOf[key.String()] = class
				a.classes = append(a.classes, nil)
			}
			a.classes[class] = append(a.classes[class], n)
			s.layout, s.far = i, offset+s.x
			a.stacks = append(a.stacks, s)
			a.owned = append(a.owned, o)
		}
		offset += l.Length + visitWorth
	}
	a.from, a.to = make([]float64, len(rec.Layouts)), make([]float64, len(rec.Layouts))
	a.cost = make([]float64, len(a.ofKit))
	a.reset()
	return a
}

// stacksOf finds the plies of each cut. One cut has one outline on every
// layer.
func stacksOf(l *nest.Layout) []stack {
	var out []stack
	at := map[[4]float64]int{}
	for i := range l.Placed {
		p := &l.Placed[i]
		box := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, v := range p.Outline {
			box[0], box[1] = min(box[0], v[0]), min(box[1], v[1])
			box[2], box[3] = max(box[2], v[0]), max(box[3], v[1])
		}
		x := (box[0] + box[2]) / 2
		for k := range box {
			box[k] = math.Round(box[k] * 1000)
		}
		n, ok := at[box]
		if !ok || len(l.Layers) < 2 {
			n = len(out)
			at[box] = n
			out = append(out, stack{x: x})
		}
		out[n].plies = append(out[n].plies, p)
	}
	for i := range out {
		slices.SortStableFunc(out[i].plies, func(p, q *nest.Placed) int { return p.Layer - q.Layer })
	}
	return out
}

// reset puts everything back where it came from.
func (a *assigner) reset() {
	a.at = make([]int, len(a.owned))
	for i := range a.at {
		a.at[i] = i
	}
	a.weigh()
}

func (a *assigner) weigh() {
	for k := range a.cost {
		a.cost[k] = a.kitCost(k)
	}
}

// kitCost is the walk of one kit, mm, with every layout it visits.
func (a *assigner) kitCost(k int) float64 {
	a.seen = a.seen[:0]
	for _, o := range a.ofKit[k] {
		s := &a.stacks[a.at[o]]
		if !slices.Contains(a.seen, s.layout) {
			a.seen = append(a.seen, s.layout)
			a.from[s.layout], a.to[s.layout] = s.x, s.x
			continue
		}
		a.from[s.layout], a.to[s.layout] = min(a.from[s.layout], s.x), max(a.to[s.layout], s.x)
	}
	sum := visitWorth * float64(len(a.seen))
	for _, l := range a.seen {
		sum += a.to[l] - a.from[l]
	}
	return sum
}

// sweepRounds is how often a sweep looks again where the kits lie.
const sweepRounds = 8

// sweep hands the pieces of each class out along the table in the order of
// the kits' middles.
func (a *assigner) sweep() {
	for range sweepRounds {
		middle := make([]float64, len(a.ofKit))
		for k, own := range a.ofKit {
			for _, o := range own {
				middle[k] += a.stacks[a.at[o]].far / float64(len(own))
			}
		}
		for _, class := range a.classes {
			own := slices.Clone(class)
			slices.SortStableFunc(own, func(p, q int) int {
				return order(middle[a.owned[p].kits[0]] - middle[a.owned[q].kits[0]])
			})
			places := slices.Clone(class)
			slices.SortStableFunc(places, func(p, q int) int { return order(a.stacks[p].far - a.stacks[q].far) })
			for i, o := range own {
				a.at[o] = places[i]
			}
		}
	}
	a.weigh()
}

func order(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

// leastGain is the least that an exchange must shorten the walk, mm.
const leastGain = 1e-3

// swap exchanges owners pair by pair while that shortens the walk, and returns
// the walk, mm.
func (a *assigner) swap() float64 {
	work := assignWork
	for better := true; better && work > 0; {
		better = false
		for _, class := range a.classes {
			for i, p := range class {
				for _, q := range class[:i] {
					if slices.Equal(a.owned[p].kits, a.owned[q].kits) {
						continue
					}
					if work--; work <= 0 {
						return a.total()
					}
					better = a.exchange(p, q, -leastGain) || better
				}
			}
		}
	}
	return a.total()
}

// The annealing begins where half a visit more is often taken, ends where a
// few centimetres are not, and tries so many exchanges for each stack.
const (
	annealHot  = visitWorth / 2
	annealCold = 20.0
	annealPer  = 400
)

// anneal exchanges owners at random, the walk getting longer with ever less
// likelihood.
func (a *assigner) anneal() {
	var classes [][]int
	var ends []int // of each class among all its stacks
	stacks := 0
	for _, c := range a.classes {
		if len(c) > 1 {
			stacks += len(c)
			classes, ends = append(classes, c), append(ends, stacks)
		}
	}
	if stacks == 0 {
		return
	}
	chance := rand.New(rand.NewPCG(1, 2))
	tries := min(annealPer*stacks, assignWork)
	cool := 1 - steady.Log(annealHot/annealCold)/float64(tries)
	heat := annealHot
	for range tries {
		heat *= cool
		n, _ := slices.BinarySearch(ends, chance.IntN(stacks)+1)
		class := classes[n]
		p, q := class[chance.IntN(len(class))], class[chance.IntN(len(class))]
		if slices.Equal(a.owned[p].kits, a.owned[q].kits) {
			continue
		}
		a.exchange(p, q, float64(-heat*steady.Log(1-float64(chance.Float64()))))
	}
}

func (a *assigner) total() float64 {
	sum := 0.0
	for _, c := range a.cost {
		sum += c
	}
	return sum
}

// exchange swaps two owners where that lengthens the walk by no more than an
// allowance, mm, which is negative where the walk must get shorter.
func (a *assigner) exchange(p, q int, allowance float64) bool {
	before, after := 0.0, 0.0
	a.at[p], a.at[q] = a.at[q], a.at[p]
	kits := append(a.kits[:0], a.owned[p].kits...)
	for _, k := range a.owned[q].kits {
		if !slices.Contains(kits, k) {
			kits = append(kits, k)
		}
	}
	costs := a.costs[:0]
	for _, k := range kits {
		before += a.cost[k]
		costs = append(costs, a.kitCost(k))
		after += costs[len(costs)-1]
	}
	a.kits, a.costs = kits, costs
	if after > before+allowance {
		a.at[p], a.at[q] = a.at[q], a.at[p]
		return false
	}
	for i, k := range kits {
		a.cost[k] = costs[i]
	}
	return true
}

// write puts the owners into the record.
func (a *assigner) write() {
	for o, at := range a.at {
		for i, p := range a.stacks[at].plies {
			w := &a.owned[o].who[i]
			p.Part, p.Unit, p.Ply, p.Order, p.Copy = w.Part, w.Unit, w.Ply, w.Order, w.Copy
		}
	}
}
