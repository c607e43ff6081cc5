package kitlist

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// summary prints the stack and the tables that sum the kit up: side by side
// where both fit a page, else one after the other.
func (s *sheet) summary() {
	s.y += 5
	grids := s.grids()
	left, gutter := s.w*0.42, 6.0
	right := s.w - left - gutter
	var tables float64
	for _, g := range grids {
		tables += g.height(s.doc, right)
	}
	st := s.newStack()
	page := s.bottom - marginTop - 10
	if st.height(1) <= page && tables <= page {
		s.room(max(st.height(1), tables))
		top := s.y
		st.print(s, s.x, left, 1)
		end := s.y
		s.y = top
		for _, g := range grids {
			g.print(s, s.x+left+gutter, right)
		}
		s.y = max(s.y, end)
		return
	}
	st.print(s, s.x, s.w, 3)
	for _, g := range grids {
		g.print(s, s.x, s.w)
	}
}

func (s *sheet) grids() []*grid {
	out := []*grid{s.fabricGrid()}
	if g := s.setGrid(); g != nil {
		out = append(out, g)
	}
	return append(out, s.bagGrid())
}

// fabricGrid totals the kit by fabric, roll and lot.
func (s *sheet) fabricGrid() *grid {
	type key struct{ fabric, roll, lot string }
	type sum struct {
		pieces             int
		area, fibre, resin float64
	}
	var keys []key
	sums := map[key]*sum{}
	for i := range s.kit.Lines {
		l := &s.kit.Lines[i]
		k := key{fabric: l.Fabric.Name, roll: "SHORT"}
		if l.Place != nil {
			k.roll, k.lot = l.Place.Roll, l.Place.Lot
		}
		if sums[k] == nil {
			sums[k] = &sum{}
			keys = append(keys, k)
		}
		t := sums[k]
		t.pieces++
		t.area += l.CutArea
		if l.Laminate != nil {
			t.fibre += l.Laminate.Fibre
			t.resin += l.Laminate.Resin
		}
	}
	g := &grid{
		title: "Fabric in this kit",
		fields: []field{
			{"fabric", 24, false}, {"roll", 17, false}, {"lot", 17, false}, {"pieces", 10, true},
			{"m² cut", 12, true}, {"fibre kg", 13, true}, {"resin kg", 13, true},
		},
		total: true,
	}
	add := func(name, roll, lot string, t sum) {
		g.rows = append(g.rows, []string{name, roll, lot, fmt.Sprint(t.pieces),
			fmt.Sprintf("%.3f", t.area/1e6), kilograms(t.fibre, 3), kilograms(t.resin, 3)})
	}
	for _, k := range keys {
		roll := k.roll
		if roll == "" {
			roll = "not named"
		}
		add(k.fabric, roll, k.lot, *sums[k])
	}
	t := s.kit.Totals
	add("total", "", "", sum{t.Pieces, t.CutArea, t.Fibre, t.Resin})
	return g
}

// setGrid lists the wet sets, or the resin alone where the window is not
// known; nil where there is no resin.
func (s *sheet) setGrid() *grid {
	p := s.kit.Plan
	if p == nil {
		return nil
	}
	g := &grid{
		title: "Wet sets and mixes (estimates)",
		note:  strings.Join(basis(p), "; ") + "." + cureNote(p),
		fields: []field{
			{"set", 8, false}, {"orders", 20, false}, {"laminate kg", 17, true}, {"min", 9, true},
			{"mix kg resin", 18, true}, {"mixes", 11, true}, {"mixed at", 14, false},
		},
		write: true,
	}
	if len(p.Sets) == 0 {
		g.title = "Resin and mixes (estimates)"
		mixes := ""
		if p.Mixes > 0 {
			mixes = fmt.Sprint(p.Mixes)
		}
		g.rows = append(g.rows, []string{"all", "", kilograms(s.kit.Totals.Mass, 2), "", kilograms(p.ToMix, 2), mixes, ""})
		return g
	}
	for i := range p.Sets {
		t := &p.Sets[i]
		g.rows = append(g.rows, []string{
			fmt.Sprint(t.Number), strings.Replace(setRun(s.kit, t), "order ", "", 1),
			kilograms(t.Mass, 2), wholeMinutes(t.Minutes), kilograms(t.ToMix, 2), fmt.Sprint(t.Mixes), "",
		})
	}
	g.rows = append(g.rows, []string{"total", "", kilograms(s.kit.Totals.Mass, 2),
		wholeMinutes(p.Minutes), kilograms(p.ToMix, 2), fmt.Sprint(p.Mixes), ""})
	g.total = true
	return g
}

// cureNote says whether the minutes of a plan with stops count cure; empty for
// one without.
func cureNote(p *kit.Plan) string {
	switch {
	case !p.Stops():
		return ""
	case p.Cure <= 0:
		return " Cure not included: the job states no time of cure, so minutes are those of laying alone and every stop comes on top of them."
	}
	return fmt.Sprintf(" Minutes are those of laying alone; every stop takes %s more for cure.", paper.Span(p.Cure))
}

// wholeMinutes is empty where the time is not known.
func wholeMinutes(v float64) string {
	if v <= 0 {
		return ""
	}
	return fmt.Sprintf("%.0f", v)
}

// basis says which of the job's figures a plan rests on.
func basis(p *kit.Plan) []string {
	var out []string
	if p.Resin != "" {
		out = append(out, p.Resin)
	}
	if p.Pace > 0 {
		out = append(out, fmt.Sprintf("pace %g kg laminate per hour", p.Pace))
	}
	if p.WorkingTime > 0 {
		out = append(out, fmt.Sprintf("working time %g min, %.0f %% of it planned (%.0f min)", p.WorkingTime, p.PlanAt*100, p.Window))
	}
	if p.MixLimit > 0 {
		out = append(out, fmt.Sprintf("largest mix %g kg", p.MixLimit))
	}
	if p.SetThickness > 0 {
		out = append(out, fmt.Sprintf("at most %g mm cured laid at once", p.SetThickness))
	}
	if p.Waste > 0 {
		out = append(out, fmt.Sprintf("%.0f %% of the mix stays in pots and on tools", p.Waste*100))
	}
	if len(out) == 0 {
		out = append(out, "from the fibre content of each fabric alone")
	}
	return out
}

// bagGrid lists the bags.
func (s *sheet) bagGrid() *grid {
	g := &grid{
		title: "Bags and tubes",
		fields: []field{
			{"bag", 30, false}, {"orders", 18, false}, {"pieces", 10, true}, {"dry fibre kg", 18, true}, {"packing", 26, false},
		},
	}
	for i := range s.kit.Bags {
		b := &s.kit.Bags[i]
		packing := "all flat"
		switch {
		case b.Pieces == 0:
			packing = "empty: all short"
		case b.Rolled == b.Pieces:
			packing = "all rolled"
		case b.Rolled > 0:
			packing = fmt.Sprintf("%d rolled, %d flat", b.Rolled, b.Pieces-b.Rolled)
		}
		g.rows = append(g.rows, []string{"Bag " + b.Label(), kit.Runs(b.Orders), fmt.Sprint(b.Pieces), kilograms(b.Fibre, 2), packing})
	}
	return g
}
