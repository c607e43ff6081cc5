package verify

import (
	"fmt"

	"plyroom/shapes"
)

// lives checks rule 13: no layout is cut from a roll after the last day it may
// be used, nor from one whose out-life is used up when it is thawed, unless the
// rules say that such rolls are used all the same. A layout that states the day
// it was cut is held to that day, and not to what became of its roll since.
func (c *checker) lives() {
	if c.record.Rules.UseExpired {
		return
	}
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		day := c.record.Date
		if lay.CutOn != "" {
			day = lay.CutOn
		}
		for k := range lay.Layers {
			ly := &lay.Layers[k]
			f := c.record.Fabric(ly.Fabric)
			if f == nil || ly.Roll == "" {
				continue // rule 1 says so; what has no name has no date
			}
			for r := range f.Rolls {
				if f.Rolls[r].Name == ly.Roll {
					if why := spent(f, &f.Rolls[r], day, lay.CutOn != ""); why != "" {
						c.add(Violation{Rule: RuleLife, Layout: lay.ID,
							Message: fmt.Sprintf("roll %q of fabric %q may not be used: %s", ly.Roll, f.Name, why)})
					}
				}
			}
		}
	}
}

// spent says why a roll may not be used on a day; empty where it may. Days are
// written year first, so that their texts are in order.
func spent(f *shapes.Fabric, r *shapes.Roll, day shapes.Date, before bool) string {
	switch left := f.OutLife - (r.OutUsed + r.Thaw); {
	case day != "" && r.Expires != "" && r.Expires < day:
		return fmt.Sprintf("its last day is %s, and it is cut on %s", r.Expires, day)
	case f.OutLife > 0 && left <= 0 && !before:
		return fmt.Sprintf("nothing is left of its out-life of %.1f h after %.1f h out and %.1f h of thawing", f.OutLife/60, r.OutUsed/60, r.Thaw/60)
	}
	return ""
}
