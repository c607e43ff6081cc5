package toolpath

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// Plan plans the knife's work on a layout of the record. The machine's unset
// fields take their defaults. Errors are a profile that cannot be, a cut that
// leaves the fabric or the table, and slits that do not lie where their ply
// does.
func Plan(rec *nest.Record, l *nest.Layout, m Machine) (*Path, error) {
	m = m.Defaults()
	if err := m.Validate(); err != nil {
		return nil, err
	}
	k := newShelf(rec, l)
	items, err := k.collect()
	if err != nil {
		return nil, err
	}
	reach, err := tableReach(rec.Rules.Table, l, m, items)
	if err != nil {
		return nil, err
	}
	loops, err := loopsOf(items, m.Once)
	if err != nil {
		return nil, fmt.Errorf("layout %s: %w", l.ID, err)
	}
	windows, pieces, err := divide(loops, reach, m.Join, l.Length)
	if err != nil {
		return nil, fmt.Errorf("layout %s: %w", l.ID, err)
	}
	p := &Path{Head: head(rec, l), Machine: m, Ink: rec.Rules.Ink, Windows: windows, guard: newGuard(items)}
	if from := windows[0].From; from > 0 {
		p.notes = append(p.notes, fmt.Sprintf("the first window begins %.1f mm along the roll: lay the fabric so", from))
	}
	p.checkSquare()
	p.arrange(items, loops, pieces)
	p.numberPlies()
	if m.Once {
		p.once()
	}
	p.label(k, items)
	p.makeMoves()
	if err := p.prove(loops); err != nil {
		return nil, err
	}
	return p, nil
}

func head(rec *nest.Record, l *nest.Layout) Head {
	h := Head{Job: rec.Job, Revision: rec.Revision, Layout: l.ID, Length: l.Length, Width: l.Width}
	h.Usable = orb.Bound{Min: l.Usable[0], Max: l.Usable[1]}
	for _, y := range l.Layers {
		h.Layers = append(h.Layers, HeadLayer{y.Layer, y.Fabric, y.Roll, y.Lot, y.Face, y.RollFrom})
	}
	return h
}

// tableReach is how much of the length the machine reaches at once, 0 for all,
// after checking that every ply lies on the table across the roll.
func tableReach(t *shapes.Table, l *nest.Layout, m Machine, items []item) (float64, error) {
	reach := m.Window
	if t == nil {
		return reach, nil
	}
	if reach == 0 {
		reach = t.Length
	}
	if t.Width > 0 {
		for i := range items {
			if top := items[i].bound.Max[1]; top > t.Width+sameCut {
				return 0, fmt.Errorf("layout %s: %s reaches %.1f mm across; the table is %.1f mm wide", l.ID, items[i].label, top, t.Width)
			}
		}
	}
	return reach, nil
}

// arrange puts the pieces in order, window by window, and numbers them.
func (p *Path) arrange(items []item, loops []loop, pieces []piece) {
	last := make([]int, len(loops)) // the window a loop is finished in
	byWindow := make([][]piece, len(p.Windows))
	parts := make([]int, len(loops))
	for _, c := range pieces {
		byWindow[c.window] = append(byWindow[c.window], c)
		last[c.loop] = max(last[c.loop], c.window)
		parts[c.loop]++
	}
	band := p.Machine.Along
	if band < 0 {
		band = math.Inf(1)
	}
	home := p.home(0)
	if n := len(p.Cuts); n > 0 {
		home = p.Cuts[n-1].Points[0] // where the check square closes
	}
	plainHome := home
	for w, list := range byWindow {
		if w > 0 {
			step := p.Windows[w].From - p.Windows[w-1].From
			home[0] += step
			plainHome[0] += step
		}
		nodes, starts := nodesOf(p.Machine, loops, list, last, w)
		plain := nearest(nodes, plainHome, band, false)
		p.Stats.PlainTravel += plain.plainTravel()
		t := nearest(nodes, home, band, true)
		t.improve()
		p.Stats.OrderTravel += t.travel()
		p.tours = append(p.tours, t)
		for _, i := range t.seq {
			c := list[i]
			lp := &loops[c.loop]
			cut := Cut{
				Number: len(p.Cuts) + 1, Kind: lp.kind, Plies: items[lp.item].placed, Label: items[lp.item].label,
				Loop: c.loop, Part: c.part + 1, Parts: parts[c.loop], Closed: c.closed, Window: w,
			}
			switch {
			case c.closed:
				cut.Points = from(c.pts, starts[i][t.choice[i]])
			case t.choice[i] == 1:
				cut.Points = reversed(c.pts)
			default:
				cut.Points = c.pts
			}
			p.Cuts = append(p.Cuts, cut)
			home = t.out[i]
		}
		if n := len(plain.seq); n > 0 {
			plainHome = nodes[plain.seq[n-1]].plainOut
		}
	}
}

// numberPlies lists the plies in the order of their last cuts, which set them
// free, and numbers them so.
func (p *Path) numberPlies() {
	number := map[int]int{} // first placed index -> ply number
	for i := len(p.Cuts) - 1; i >= 0; i-- {
		c := &p.Cuts[i]
		if len(c.Plies) > 0 && number[c.Plies[0]] == 0 {
			p.Plies = append(p.Plies, Ply{Placed: c.Plies, Label: c.Label, Free: c.Number})
			number[c.Plies[0]] = len(p.Plies) // from the end, for now
		}
	}
	slices.Reverse(p.Plies)
	for i := range p.Cuts {
		if c := &p.Cuts[i]; len(c.Plies) > 0 {
			c.Ply = len(p.Plies) + 1 - number[c.Plies[0]]
		}
	}
}

// nodesOf makes the nodes of one window.
func nodesOf(m Machine, loops []loop, list []piece, last []int, window int) ([]node, [][]start) {
	nodes := make([]node, len(list))
	starts := make([][]start, len(list))
	ofLoop := map[int][]int32{}
	for i, c := range list {
		ofLoop[c.loop] = append(ofLoop[c.loop], int32(i))
		n := &nodes[i]
		n.key = c.pts.Bound().Min[0]
		n.plainIn, n.plainOut = c.pts[0], c.pts[0]
		if !c.closed {
			n.open = true
			n.plainOut = c.pts[len(c.pts)-1]
			n.starts = []orb.Point{n.plainIn, n.plainOut}
			continue
		}
		starts[i] = startsOf(m, c.pts)
		for _, s := range starts[i] {
			n.starts = append(n.starts, s.at)
		}
	}
	for i, c := range list {
		lp := &loops[c.loop]
		if last[c.loop] == window {
			for _, k := range lp.must {
				nodes[i].before = append(nodes[i].before, ofLoop[k]...)
			}
		}
		for _, k := range lp.should {
			if last[k] == window {
				nodes[i].before = append(nodes[i].before, ofLoop[k]...)
			}
		}
		for _, b := range nodes[i].before {
			nodes[b].after = append(nodes[b].after, int32(i))
		}
	}
	raiseKeys(nodes, nodeOrder(nodes))
	return nodes, starts
}

// home is the machine's zero in a window, in layout coordinates.
func (p *Path) home(window int) orb.Point {
	w := p.Windows[window]
	h := orb.Point{w.From, 0}
	if p.Machine.Origin == LowerRight || p.Machine.Origin == UpperRight {
		h[0] = w.To
	}
	if p.Machine.Origin == UpperLeft || p.Machine.Origin == UpperRight {
		h[1] = p.Head.Width
	}
	return h
}

// startAt is where the head is before the first move.
func (p *Path) startAt() orb.Point {
	if len(p.Cuts) == 0 {
		return p.home(0)
	}
	return p.home(p.Cuts[0].Window)
}

// label makes the labels of every ply, in the order of their first cuts: ink
// comes before the knife.
func (p *Path) label(k *shelf, items []item) {
	byPlaced := map[int]int{}
	for i := range items {
		byPlaced[items[i].placed[0]] = i
	}
	lost := 0
	done := map[int]bool{}
	for _, c := range p.Cuts {
		if len(c.Plies) == 0 || done[c.Plies[0]] {
			continue
		}
		done[c.Plies[0]] = true
		it := byPlaced[c.Plies[0]]
		for _, lab := range k.labels(&items[it]) {
			lab.Ply = c.Ply
			parts := p.windowed(lab, c.Window, p.guard.of(it))
			if len(parts) == 0 {
				lost++
			}
			p.Labels = append(p.Labels, parts...)
		}
	}
	if lost > 0 && p.Ink {
		p.notes = append(p.notes, counted(lost, "label is left out: no window reaches all of it", "labels are left out: no window reaches all of them"))
	}
}

// makeMoves plans every move of the cuts and sums them up. Labels are drawn
// only where the job allows ink.
func (p *Path) makeMoves() {
	k := knife{path: p, m: p.Machine, guard: p.guard}
	k.run()
	p.measure()
}
