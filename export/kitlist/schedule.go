package kitlist

import (
	"fmt"
	"math"
	"strings"
	"time"

	"plyroom/export/paper"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// A Schedule is a timetable with what it rests on.
type Schedule struct {
	Slots []kit.Slot
	Shift kit.Shift
	// CutGiven says that the beginning of cutting was given; otherwise it is
	// the latest that keeps up.
	CutGiven bool
	// LatestCut is the latest moment for the table to begin with every set cut in
	// time; NaN where nothing is known about cutting, -Inf where none is.
	LatestCut float64
	// Date is the first day; empty where it is not known. Days are the days of
	// the week that are worked; empty for all.
	Date shapes.Date
	Days []string
	// Overruns are the kits whose prepreg would be out for too long.
	Overruns []kit.Overrun
}

// Overrun is that of one kit, or nil.
func (c *Schedule) Overrun(k *kit.Kit) *kit.Overrun {
	if c == nil {
		return nil
	}
	for i := range c.Overruns {
		if c.Overruns[i].Kit == k {
			return &c.Overruns[i]
		}
	}
	return nil
}

// Words says in a few sentences whether cutting keeps up and what prepreg
// would be out for too long.
func (c *Schedule) Words() []string {
	crews := max(1, c.Shift.Crews)
	first := c.Shift.Start
	for i := range c.Slots {
		if c.Slots[i].Lay < first || i == 0 {
			first = c.Slots[i].Lay
		}
	}
	at := c.clock()
	out := []string{fmt.Sprintf("Laying begins at %s with %s.", at.time(first), count(crews, "crew", "crews"))}
	if h := c.Shift.Hours; h.End() {
		out = append(out, c.dayWords())
	}
	if at.days {
		out = append(out, "Day 1 is the first day of laying; day −1 is the day before it.")
	}
	if words := c.cureWords(); words != "" {
		out = append(out, words)
	}
	slack := kit.Slack(c.Slots)
	from := at.time(c.Shift.CutFrom)
	switch {
	case math.IsNaN(slack):
		out = append(out, "Nothing is known about the time cutting takes.")
	case !c.CutGiven && slack >= -1e-9:
		out = append(out, fmt.Sprintf("Cutting keeps up where the table begins on the first layout by %s.", from))
	case slack < -1e-9:
		what := fmt.Sprintf("CUTTING DOES NOT KEEP UP: beginning at %s, the worst set is %.0f min late.", from, math.Ceil(-slack-1e-9))
		switch {
		case !c.Shift.Hours.End():
			what += fmt.Sprintf(" Begin cutting by %s, or laying at %s.", at.time(math.Floor(c.LatestCut+1e-9)), at.time(math.Ceil(c.Shift.Start-slack-1e-9)))
		case !math.IsInf(c.LatestCut, 0):
			what += fmt.Sprintf(" Begin cutting by %s.", at.time(c.LatestCut))
		}
		out = append(out, what)
	default:
		out = append(out, fmt.Sprintf("Cutting keeps up: beginning at %s, it has %.0f min to spare.", from, math.Floor(slack+1e-9)))
	}
	if !math.IsNaN(slack) {
		out = append(out, fmt.Sprintf("All plies cut: when the last layout that holds a ply of the set is cut, if the table begins on the first layout at %s. That is what to expect, not a deadline; the set has to leave the cutting room at the time in the first column.", from))
	}
	for i := range c.Slots {
		if s := &c.Slots[i]; s.Over {
			out = append(out, fmt.Sprintf("%s takes longer than a day of work and runs over its end: more hands, or split the set.", s.Title()))
		}
	}
	out = append(out, c.Warnings()...)
	return append(out, "All times are estimates from the job's own figures; the supplier's data sheet and the shop's own trials override them.")
}

// cureWords says whether the timetable counts cure; empty where the lay-up
// stops nowhere.
func (c *Schedule) cureWords() string {
	stops := false
	for i := range c.Slots {
		stops = stops || StopWords(&c.Slots[i]) != ""
	}
	switch {
	case !stops:
		return ""
	case c.Shift.Cure <= 0:
		return "CURE NOT INCLUDED: the job states no time of cure, so at every stop marked so the next set is timed as if it could follow at once; what follows a stop will be later (state cure under laminating in the job)."
	}
	return fmt.Sprintf("At every stop %s of cure is included, and the crew waits with its kit.", paper.Span(c.Shift.Cure))
}

// Warnings names the kits whose prepreg would be out for too long.
func (c *Schedule) Warnings() []string {
	if c == nil {
		return nil
	}
	var out []string
	for _, o := range c.Overruns {
		out = append(out, fmt.Sprintf("%s: prepreg has %s; about %s pass from cutting to the beginning of cure. TOO LONG: cut it later, or take a fresher roll.",
			o.Kit.Title(), paper.LifeWords(o.Kit.Life), paper.Hours(o.Needed)))
	}
	return out
}

// dayWords says when is worked, and which day is the first.
func (c *Schedule) dayWords() string {
	h := c.Shift.Hours
	s := fmt.Sprintf("Work ends at %s and goes on at %s", clock{}.time(h.Close), clock{}.time(h.Open))
	if len(c.Days) > 0 {
		s += " on " + strings.Join(c.Days, ", ")
	}
	if at, err := time.Parse(time.DateOnly, string(c.Date)); err == nil {
		s += fmt.Sprintf("; day 1 is %s, %s", at.Weekday(), c.Date)
	}
	return s + "."
}
