package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"plyroom/shapes"
)

// trialEffort is the effort spent on a trial where effort limits the search.
const trialEffort = 1

// maxRollTrials bounds the orders of rolls that are laid for one fabric.
const maxRollTrials = 24

// smallTrial is the most plies for which orders of rolls, and ways to spread,
// are laid to be compared; with more they are reckoned from areas.
const smallTrial = 60

// chooseRolls puts the rolls of each fabric into the order in which least is
// drawn. Orders are laid where the plies are few, and reckoned from the density
// of the plan at hand, base, where they are many. It notes how far the order
// may be from the best where not all were judged or they were only reckoned.
func (p *planner) chooseRolls(ctx context.Context, base *draft) error {
	if p.settings.RollsAsListed {
		return nil
	}
	density := p.densities(base)
	for _, f := range p.order {
		rolls := p.stock.order[f.Name]
		var of []int
		area := 0.0
		for i, d := range p.demand {
			if d.Fabric == f.Name {
				of = append(of, i)
				area += polygonArea(p.shapes[d.Shape].Cut)
			}
		}
		if len(rolls) < 2 || len(of) == 0 || ctx.Err() != nil {
			continue
		}
		c := p.newRollChoice(ctx, f, rolls, of, area)
		laid := len(of) <= smallTrial
		if !laid {
			c.lay = p.reckoned(f, rolls, area, density[f.Name])
		}
		if err := c.search(nil); err != nil {
			return err
		}
		if c.best == nil {
			continue // the stock runs short: every roll is needed as it comes
		}
		order := slices.Clone(c.best)
		for i := range rolls {
			if !slices.Contains(order, i) {
				order = append(order, i)
			}
		}
		p.stock.order[f.Name] = pick(rolls, order)
		if gap := c.gap(); (!c.exact() || !laid) && gap > 0 {
			var names []string
			for _, i := range c.best {
				names = append(names, rolls[i].Name)
			}
			how := "reckoned from areas"
			if laid {
				how = "laid"
			}
			p.notes = append(p.notes, fmt.Sprintf("fabric %q: %s comes first, the best of %s %s; by area alone no order could draw more than %.1f %% less",
				f.Name, strings.Join(names, " then "), orders(c.trials), how, 100*gap/(1+gap)))
		}
	}
	return nil
}

func orders(n int) string {
	if n == 1 {
		return "the one order of rolls"
	}
	return fmt.Sprintf("%d orders of rolls", n)
}

func (p *planner) newRollChoice(ctx context.Context, f *shapes.Fabric, rolls []*shapes.Roll, of []int, area float64) *rollChoice {
	c := &rollChoice{rolls: rolls, area: area, most: maxRollTrials}
	for _, r := range rolls {
		w := rollWidth(f, r)
		c.opens = append(c.opens, float64(2*p.rules.EndAllowance*w)+p.changeArea(f))
		c.full = append(c.full, w/(w-2*f.Selvedge))
		c.holds = append(c.holds, math.Inf(1))
		if r.Length > 0 {
			c.holds[len(c.holds)-1] = (r.Length - 2*p.rules.EndAllowance) * (w - 2*f.Selvedge)
		}
	}
	took := time.Duration(0)
	c.stop = func() bool { return !p.affords(ctx, took) }
	c.lay = func(order []int) (float64, bool, error) {
		p.stock.order[f.Name] = pick(rolls, order)
		began := time.Now()
		d, err := p.lay(ctx, scheme{rest: of}, budget{trial: true})
		p.stock.order[f.Name] = rolls
		took = max(took, time.Since(began))
		if err != nil {
			return 0, false, err
		}
		return p.drawn(d.layouts) + float64(p.changeArea(f)*float64(rollsOpened(d))), len(d.missing) == 0, nil
	}
	return c
}

// reckoned foretells what an order of rolls draws: each roll is filled as
// densely as the plan at hand, and its end counts where it is too short to
// keep.
func (p *planner) reckoned(f *shapes.Fabric, rolls []*shapes.Roll, area, density float64) func([]int) (float64, bool, error) {
	table := math.Inf(1)
	if t := p.rules.Table; t != nil && t.Kind == shapes.StaticTable && t.Length > 0 {
		table = t.Length
	}
	ends := 2 * p.rules.EndAllowance
	return func(order []int) (float64, bool, error) {
		left, cost := area, 0.0
		for _, i := range order {
			r := rolls[i]
			w := rollWidth(f, r)
			length := r.Length
			for _, flaw := range r.Flaws {
				length -= flaw.To - flaw.From
			}
			if r.Length == 0 {
				length = math.Inf(1)
			}
			cost += p.changeArea(f)
			need := left / ((w - 2*f.Selvedge) * density)
			need += float64(math.Max(1, math.Ceil(need/(table-ends))) * ends)
			if need <= length {
				if end := length - need; end < p.rules.MinRemnant {
					need = length
				}
				return cost + float64(need*w), true, nil
			}
			cost += float64(r.Length * w)
			left -= float64(math.Max(0, length-float64(math.Max(1, math.Ceil(length/table))*ends)) * (w - 2*f.Selvedge) * density)
		}
		return cost, left <= 0, nil
	}
}

func pick(rolls []*shapes.Roll, order []int) []*shapes.Roll {
	out := make([]*shapes.Roll, len(order))
	for i, at := range order {
		out[i] = rolls[at]
	}
	return out
}

// changeArea is the area of fabric that costs as much as changing a roll, mm²;
// 0 where the fabric has no price that tells it.
func (p *planner) changeArea(f *shapes.Fabric) float64 {
	rates := p.rules.WorkRates()
	perArea := areaPrice(f)
	if perArea <= 0 {
		return 0
	}
	return rates.RollChange * rates.Labour / 60 / perArea
}

// rollsOpened counts the rolls that layouts are cut from.
func rollsOpened(d *draft) int {
	seen := map[string]bool{}
	for _, l := range d.layouts {
		for _, ly := range l.Layers {
			seen[ly.Fabric+"\n"+ly.Roll] = true
		}
	}
	return len(seen)
}

// A rollChoice looks for the order of rolls that costs least, by branch and
// bound. Cost is fabric drawn, roll ends counted, with so much for each roll
// opened as changing it costs, mm².
//
// A node is an order of some rolls; its children have one roll more behind
// them. lay tells what the plies cost on the rolls of a node, in that order,
// and whether they all found room; if they did, the rolls behind them are never
// reached and the node has no children. So the nodes that hold all plies are
// the orders to choose from, and the search visits each of them unless it cuts
// it off. An order with a roll that no ply lies on need not be looked at: the
// order without that roll costs the same.
//
// Every plan below a node opens all rolls of the node, and, where those do not
// hold all plies, one more. Each roll opened has at least one layout, whose
// two end allowances hold no ply, and each mm² of plies draws at least the
// share of the least selvedge with it. The sum of these is no more than what
// any plan below the node costs, so a node is cut off where it is no less than
// the best plan known, and the best plan is never cut off for a worse one. Of
// rolls that are alike only the first not yet used is tried as the next; an
// exchange of the two changes nothing.
//
// With most trials spent the search ends; gap then states how far the best plan
// known lies above what no order can beat.
type rollChoice struct {
	rolls []*shapes.Roll
	// opens is what opening each roll costs at least, and full what each mm²
	// of plies draws on it at least, mm².
	opens, full []float64
	// holds is the most area of plies a roll can take, mm².
	holds []float64
	area  float64 // of the plies, mm²
	lay   func(order []int) (cost float64, complete bool, err error)
	most  int
	stop  func() bool // nil: never

	trials  int
	skipped bool
	best    []int
	cost    float64
}

// search looks at a node and all below it.
func (c *rollChoice) search(node []int) error {
	if len(node) > 0 {
		if c.best != nil && c.bound(node, 0) >= c.cost-1 {
			return nil
		}
		room := 0.0
		for _, i := range node {
			room += c.holds[i]
		}
		if room < c.area {
			return c.branch(node) // it cannot be complete
		}
		if c.trials >= c.most || c.stop != nil && c.stop() {
			c.skipped = true
			return nil
		}
		c.trials++
		cost, complete, err := c.lay(node)
		if err != nil {
			return err
		}
		if complete {
			if c.best == nil || cost < c.cost-1 {
				c.best, c.cost = slices.Clone(node), cost
			}
			return nil
		}
	}
	return c.branch(node)
}

// branch looks at the children of a node that does not hold all plies.
func (c *rollChoice) branch(node []int) error {
	if len(node) == len(c.rolls) {
		return nil
	}
	least := math.Inf(1)
	for i := range c.rolls {
		if !slices.Contains(node, i) {
			least = math.Min(least, c.opens[i])
		}
	}
	if c.best != nil && c.bound(node, least) >= c.cost-1 {
		return nil
	}
	for i := range c.rolls {
		if slices.Contains(node, i) || c.twin(node, i) {
			continue
		}
		if err := c.search(append(slices.Clone(node), i)); err != nil {
			return err
		}
	}
	return nil
}

// bound is what every plan below a node costs at least; more is what it opens
// besides.
func (c *rollChoice) bound(node []int, more float64) float64 {
	full := math.Inf(1)
	for _, v := range c.full {
		full = math.Min(full, v)
	}
	sum := float64(c.area*full) + more
	for _, i := range node {
		sum += c.opens[i]
	}
	return sum
}

// twin reports whether an unused roll before this one is like it.
func (c *rollChoice) twin(node []int, i int) bool {
	a := c.rolls[i]
	for k := range i {
		b := c.rolls[k]
		if !slices.Contains(node, k) && a.Length == b.Length && a.Width == b.Width && a.Lot == b.Lot &&
			a.FaceDown == b.FaceDown && slices.Equal(a.Flaws, b.Flaws) {
			return true
		}
	}
	return false
}

// exact reports whether no order was left out.
func (c *rollChoice) exact() bool { return !c.skipped }

// gap is how far the best plan known lies above what no order can beat, as a
// share of that.
func (c *rollChoice) gap() float64 {
	least := math.Inf(1)
	for _, o := range c.opens {
		least = math.Min(least, o)
	}
	floor := c.bound(nil, least)
	if floor <= 0 {
		return 0
	}
	return c.cost/floor - 1
}
