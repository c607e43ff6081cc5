package kitlist

import (
	"fmt"
	"math"

	"plyroom/export/paper"
	"plyroom/export/table"
	"plyroom/nest/kit"
)

// Overview is a table of one line per kit and a total: pieces, what is short,
// on how many layouts it lies and how far apart along the table (kit.Walk),
// masses, wet sets and mixes. Resin and what follows from it are estimates.
func Overview(kits []kit.Kit) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "kit", Title: "kit", Right: true},
		{Key: "part", Title: "part"},
		{Key: "unit", Title: "unit", Right: true},
		{Key: "units", FileOnly: true},
		{Key: "revision", Title: "rev"},
		{Key: "pieces", Title: "pieces", Right: true},
		{Key: "short", Title: "short", Right: true},
		{Key: "bags", Title: "bags", Right: true},
		{Key: "layouts", Title: "layouts", Right: true},
		{Key: "walk_m", Title: "walk m", Right: true},
		{Key: "cut_area_m2", Title: "m² cut", Right: true},
		{Key: "fibre_kg", Title: "fibre kg", Right: true},
		{Key: "resin_kg", Title: "resin kg (est.)", Right: true},
		{Key: "resin_to_mix_kg", Title: "to mix kg (est.)", Right: true},
		{Key: "laminate_kg", FileOnly: true},
		{Key: "thickness_mm", FileOnly: true},
		{Key: "wet_sets", Title: "sets", Right: true},
		{Key: "mixes", Title: "mixes", Right: true},
		{Key: "out_life_left_h", FileOnly: true},
		{Key: "expires", FileOnly: true},
	}}
	var sum kit.Totals
	var walk kit.Walk
	bags, sets, mixes, mix := 0, 0, 0, 0.0
	for i := range kits {
		k := &kits[i]
		n := k.Totals
		sum.Pieces += n.Pieces
		sum.Short += n.Short
		sum.CutArea += n.CutArea
		sum.Fibre += n.Fibre
		sum.Resin += n.Resin
		sum.Mass += n.Mass
		bags += len(k.Bags)
		w := k.Walk()
		walk.Visits += w.Visits
		walk.Metres += w.Metres
		plan := kit.Plan{}
		if k.Plan != nil {
			plan = *k.Plan
			sets += len(plan.Sets)
			mixes += plan.Mixes
			mix += plan.ToMix
		}
		t.Add(table.Int(k.Number), table.Text(k.Part), table.Int(k.Unit), table.Int(k.Units), table.Text(k.PartRevision),
			table.Int(n.Pieces), table.Int(n.Short), table.Int(len(k.Bags)),
			table.Int(w.Visits), table.Number(w.Metres, 1), table.Number(n.CutArea/1e6, 3),
			known(n.Fibre, 3), known(n.Resin, 3), known(plan.ToMix, 3), known(n.Mass, 3), known(n.Thickness, 2),
			some(len(plan.Sets)), some(plan.Mixes), lifeLeft(k.Life), expiry(k.Life))
	}
	blank := table.Blank()
	t.Footer = []table.Cell{table.Text("total"), blank, blank, blank, blank,
		table.Int(sum.Pieces), table.Int(sum.Short), table.Int(bags),
		table.Int(walk.Visits), table.Number(walk.Metres, 1), table.Number(sum.CutArea/1e6, 3),
		known(sum.Fibre, 3), known(sum.Resin, 3), known(mix, 3), known(sum.Mass, 3), blank, some(sets), some(mixes), blank, blank}
	return t
}

// lifeLeft is the out-life left, h; blank where there is none to lose.
func lifeLeft(l *kit.Life) table.Cell {
	if l == nil {
		return table.Blank()
	}
	return table.Number(l.Left/60, 2)
}

// expiry is the first day a roll expires, or blank.
func expiry(l *kit.Life) table.Cell {
	if l == nil {
		return table.Blank()
	}
	return table.Text(string(l.Expires))
}

// some is blank for none.
func some(n int) table.Cell {
	if n == 0 {
		return table.Blank()
	}
	return table.Int(n)
}

// Timetable is a table of when each wet set leaves the cutting room, in that
// order. As soon as the schedule spans more than one day every time has its
// day. All of it is estimated.
func Timetable(c *Schedule) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "leave", Title: "leaves cutting room"},
		{Key: "part", Title: "part"},
		{Key: "unit", Title: "unit", Right: true},
		{Key: "wet_set", Title: "set", Right: true},
		{Key: "orders", Title: "orders"},
		{Key: "crew", Title: "crew", Right: true},
		{Key: "lay", Title: "laying begins"},
		{Key: "done", Title: "laying ends"},
		{Key: "ready", Title: "all plies cut"},
		{Key: "late_min", Title: "late, min", Right: true},
		{Key: "then", Title: "then"},
	}}
	at := c.clock()
	for i := range c.Slots {
		s := &c.Slots[i]
		set, run, late := table.Blank(), table.Text("all"), table.Blank()
		if wet := s.Wet(); wet != nil {
			set = table.Int(s.Set)
			run = table.Text(setRun(s.Kit, wet))
		}
		if s.Late() > 0 {
			late = table.Number(math.Ceil(s.Late()-1e-9), 0)
		}
		t.Add(table.Text(at.time(s.Leave)), table.Text(s.Kit.Part), table.Int(s.Kit.Unit), set, run, table.Int(s.Crew),
			table.Text(at.time(s.Lay)), table.Text(at.time(s.Done)), table.Text(at.time(s.Ready)), late, table.Text(StopWords(s)))
	}
	return t
}

// StopWords says how the lay-up stops after a slot, and whether the cure is in
// the times that follow; empty where it goes on.
func StopWords(s *kit.Slot) string {
	set := s.Wet()
	if set == nil {
		return ""
	}
	return paper.EndWords(s.Kit.Plan, set)
}

// A clock writes times of one schedule.
type clock struct {
	// days says that every time has its day: 1 is the first day of laying, −1
	// the day before it.
	days bool
}

// clock is that of the schedule: with days where any of its times is not on
// day 1.
func (c *Schedule) clock() clock {
	times := []float64{c.Shift.Start, c.Shift.CutFrom}
	for i := range c.Slots {
		s := &c.Slots[i]
		times = append(times, s.Leave, s.Lay, s.Done, s.Ready)
	}
	if slack := kit.Slack(c.Slots); slack < -1e-9 {
		times = append(times, c.LatestCut)
	}
	for _, t := range times {
		if day, _ := ofDay(t); finite(t) && day != 0 {
			return clock{days: true}
		}
	}
	return clock{}
}

func finite(minutes float64) bool { return !math.IsNaN(minutes) && !math.IsInf(minutes, 0) }

// ofDay is the day of a moment, from 0, and the minute of it.
func ofDay(minutes float64) (day, minute int) {
	m := int(math.Round(minutes))
	day = int(math.Floor(float64(m) / 1440))
	return day, m - day*1440
}

// time writes minutes after midnight of day 1: 07:30, or with days day 2 07:30;
// empty for what is not known.
func (c clock) time(minutes float64) string {
	if !finite(minutes) {
		return ""
	}
	day, m := ofDay(minutes)
	s := fmt.Sprintf("%02d:%02d", m/60, m%60)
	switch {
	case !c.days:
		return s
	case day < 0:
		return fmt.Sprintf("day −%d %s", -day, s)
	}
	return fmt.Sprintf("day %d %s", day+1, s)
}
