package kitlist

import (
	"fmt"
	"math"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// A Schedule is a timetable with what it rests on.
type Schedule struct {
	Slots []kit.Slot
	Shift kit.Shift
	// CutGiven says that the beginning of cutting was given; otherwise it is
	// the latest that keeps up.
	CutGiven bool
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
	begin := clock(c.Shift.Start).String()
	out := []string{fmt.Sprintf("Laying begins at %s with %s.", begin, count(crews, "crew", "crews"))}
	slack := kit.Slack(c.Slots)
	from := clock(c.Shift.CutFrom).String()
	switch {
	case math.IsNaN(slack):
		out = append(out, "Nothing is known about the time cutting takes.")
	case !c.CutGiven:
		out = append(out, fmt.Sprintf("Cutting keeps up where the table begins on the first layout by %s.", from))
	case slack < -1e-9:
		out = append(out, fmt.Sprintf("CUTTING DOES NOT KEEP UP: beginning at %s, the worst set is %.0f min late. Begin cutting by %s, or laying at %s.",
			from, math.Ceil(-slack-1e-9), clock(math.Floor(c.Shift.CutFrom+slack+1e-9)), clock(math.Ceil(c.Shift.Start-slack-1e-9))))
	default:
		out = append(out, fmt.Sprintf("Cutting keeps up: beginning at %s, it has %.0f min to spare.", from, math.Floor(slack+1e-9)))
	}
	out = append(out, c.Warnings()...)
	return append(out, "All times are estimates from the job's own figures; the supplier's data sheet and the shop's own trials override them.")
}

// Warnings names the kits whose prepreg would be out for too long.
func (c *Schedule) Warnings() []string {
	if c == nil {
		return nil
	}
	var out []string
	for _, o := range c.Overruns {
		out = append(out, fmt.Sprintf("%s: prepreg has %s at cutting, about %s are needed to the end of laying. TOO LONG: cut it later, or take a fresher roll.",
			o.Kit.Title(), paper.LifeWords(o.Kit.Life), paper.Hours(o.Needed)))
	}
	return out
}
