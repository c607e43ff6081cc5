package compare

import (
	"fmt"
	"math"
	"strings"
)

// Advice says which run is better for one reader, and why.
type Advice struct {
	// For is who reads it: operator, purchasing or engineer.
	For string `json:"for"`
	// Run is an index into the runs, or -1 where there is nothing in it.
	Run int `json:"run"`
	// Words say it in one sentence.
	Words string `json:"words"`
}

// How large a difference must be for anyone to act on it, as a share, and for
// angles in degrees.
const (
	worthMinutes = 0.01
	worthFabric  = 0.002
	worthDegrees = 0.05
)

// Advise says which run is better for whom. Of runs that lay different plies it
// says nothing: less fabric for fewer plies is no better.
//
// The operator wants the least time at the table: cutting, spreading, changing
// rolls, filling kits. Purchasing wants the least cost, or the least fabric
// where prices are missing. The engineer wants the fibre where it was asked
// for, and where no run is better there, the higher yield.
func (c *Comparison) Advise() []Advice {
	if len(c.Differences) > 0 {
		return []Advice{}
	}
	return []Advice{c.operator(), c.purchasing(), c.engineer()}
}

// best finds the run with the least value; -1 where the others are no worse by
// more than within.
func (c *Comparison) best(value func(i int) float64, within func(least float64) float64) int {
	at, least, most := -1, math.Inf(1), math.Inf(-1)
	for i := range c.Runs {
		v := value(i)
		if v < least {
			at, least = i, v
		}
		most = math.Max(most, v)
	}
	if at < 0 || most-least <= within(least) {
		return -1
	}
	return at
}

func share(s float64) func(float64) float64 {
	return func(least float64) float64 { return s * math.Abs(least) }
}

// others lists what the other runs have of a figure: "B 12.0, C 13.5".
func (c *Comparison) others(at int, show func(i int) string) string {
	var out []string
	for i, r := range c.Runs {
		if i != at {
			out = append(out, r.Name+" "+show(i))
		}
	}
	return strings.Join(out, ", ")
}

func (c *Comparison) operator() Advice {
	a := Advice{For: "operator"}
	total := func(i int) float64 { return c.Work[i].Total() }
	a.Run = c.best(total, share(worthMinutes))
	minutes := func(i int) string { return fmt.Sprintf("%.0f min", total(i)) }
	if a.Run < 0 {
		a.Words = "For the operator no run is quicker by more than 1 %: " + minutes(0)
		return a
	}
	w := &c.Work[a.Run]
	a.Words = fmt.Sprintf("For the operator %s is better: %s at the table (%s)", c.Runs[a.Run].Name, minutes(a.Run), c.others(a.Run, minutes))
	var why []string
	less := func(what string, v func(*Work) float64, unit string) {
		mine := v(w)
		for i := range c.Work {
			if i != a.Run && v(&c.Work[i]) <= mine {
				return
			}
		}
		why = append(why, fmt.Sprintf("%s %.0f%s (%s)", what, mine, unit, c.others(a.Run, func(i int) string { return fmt.Sprintf("%.0f", v(&c.Work[i])) })))
	}
	if w.Knife != nil {
		less("cutting", func(w *Work) float64 { return w.Knife.Minutes }, " min")
		less("knife up", func(w *Work) float64 { return w.Knife.Up }, " m")
	}
	less("spreading", func(w *Work) float64 { return w.Minutes.Spreading }, " min")
	less("roll changes", func(w *Work) float64 { return w.Minutes.RollChanges }, " min")
	less("walk to the kits", func(w *Work) float64 { return w.Walk }, " m")
	if len(why) > 0 {
		a.Words += "; " + strings.Join(why, ", ")
	}
	return a
}

func (c *Comparison) purchasing() Advice {
	a := Advice{For: "purchasing"}
	priced, why := true, "prices are missing"
	for i := range c.Total {
		priced = priced && c.Total[i].Priced
	}
	for _, r := range c.Runs[1:] {
		if priced && r.Record.Currency != c.Runs[0].Record.Currency {
			priced, why = false, "their prices are in different currencies"
		}
	}
	area := func(i int) float64 { return c.Total[i].Books.Drawn - c.Total[i].Books.Remnant }
	m2 := func(i int) string { return fmt.Sprintf("%.2f m²", area(i)/1e6) }
	metres := func(i int) string { return fmt.Sprintf("%.2f m", c.Total[i].Length/1e3) }
	if !priced {
		if a.Run = c.best(area, share(worthFabric)); a.Run < 0 {
			a.Words = "For purchasing it makes no difference: all take " + m2(0) + "; " + why
			return a
		}
		a.Words = fmt.Sprintf("For purchasing %s is better: it takes %s (%s); %s", c.Runs[a.Run].Name, m2(a.Run), c.others(a.Run, m2), why)
		return a
	}
	cost := func(i int) string {
		return strings.TrimSpace(fmt.Sprintf("%.2f %s", c.Total[i].Cost, c.Runs[i].Record.Currency))
	}
	if a.Run = c.best(func(i int) float64 { return c.Total[i].Cost }, share(worthFabric)); a.Run < 0 {
		a.Words = "For purchasing it makes no difference: fabric for " + cost(0)
		return a
	}
	a.Words = fmt.Sprintf("For purchasing %s is better: fabric for %s (%s), %s (%s)", c.Runs[a.Run].Name, cost(a.Run), c.others(a.Run, cost), metres(a.Run), c.others(a.Run, metres))
	return a
}

func (c *Comparison) engineer() Advice {
	a := Advice{For: "engineer"}
	degrees := func(i int) string {
		return fmt.Sprintf("%.2f° at most and %.2f° in the mean", c.Total[i].LargestDeviation, c.Total[i].MeanDeviation)
	}
	yield := func(i int) string {
		return fmt.Sprintf("%.1f %% net and %.1f %% above the bound", c.Total[i].Books.NetYield()*100, c.Total[i].Gap()*100)
	}
	fixed := func(float64) float64 { return worthDegrees }
	a.Run = c.best(func(i int) float64 { return c.Total[i].LargestDeviation }, fixed)
	if a.Run < 0 {
		a.Run = c.best(func(i int) float64 { return c.Total[i].MeanDeviation }, fixed)
	}
	if a.Run >= 0 {
		a.Words = fmt.Sprintf("For the engineer %s is better: its fibre is off by %s (%s)", c.Runs[a.Run].Name, degrees(a.Run), c.others(a.Run, degrees))
		if most := c.best(func(i int) float64 { return -c.Total[i].Books.NetYield() }, share(worthFabric)); most >= 0 && most != a.Run {
			a.Words += fmt.Sprintf("; %s buys %s with it", c.Runs[most].Name, yield(most))
		}
		return a
	}
	if a.Run = c.best(func(i int) float64 { return -c.Total[i].Books.NetYield() }, share(worthFabric)); a.Run < 0 {
		a.Words = "For the engineer no run is better: fibre and yield agree, " + yield(0)
		return a
	}
	a.Words = fmt.Sprintf("For the engineer %s is better: %s (%s); the fibre lies alike, off by %s", c.Runs[a.Run].Name, yield(a.Run), c.others(a.Run, yield), degrees(a.Run))
	return a
}
