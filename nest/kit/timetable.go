package kit

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// A Shift is what a timetable is made from. Times are minutes from one moment
// of the caller's choice, such as midnight; lengths of time are minutes. All
// of them are the shop's own estimates.
type Shift struct {
	// Start is when the first kit is to be laid.
	Start float64
	// Crews is how many kits are laid at once; 0 means 1.
	Crews int
	// BetweenSets passes after each wet set but the last before the next one
	// of the kit is begun; BetweenKits before the crew begins its next kit.
	BetweenSets, BetweenKits float64
	// Carry is how long before it is laid a set leaves the cutting room.
	Carry float64
	// Hours are those of the laminators. A kit that fits into a day is not
	// broken off over night, nor is a wet set.
	Hours Hours
	// CutFrom is when the table begins on the first layout of the record.
	// Layouts are cut in the record's order, within CutHours: one that does not
	// fit what is left of a day waits for the next.
	CutFrom  float64
	CutHours Hours
	// Cure passes at every stop (Set.Stops) before the next set of the kit is
	// begun, where it is longer than BetweenSets; 0 where it is not known. The
	// crew waits with its kit. Work is not done meanwhile, so that it may pass
	// over night.
	Cure float64
	// CureAfter passes between the end of a kit's laying and its cure.
	CureAfter float64
	// CutMinutes is how long one layout takes, by its ID: spreading, cutting,
	// lifting and kitting. With nil nothing is said about cutting.
	CutMinutes func(layout string) float64
}

// A Slot is the time of one wet set, or of a whole kit where that has no
// sets.
type Slot struct {
	Kit *Kit
	// Set counts the wet sets of the kit from 1; 0 stands for the whole kit.
	Set int
	// Crew counts from 1.
	Crew int
	// Leave is when it must leave the cutting room, Lay when laying begins,
	// Done when it ends.
	Leave, Lay, Done float64
	// Over says that laying ends after the end of the day: the set alone takes
	// longer than a day of work.
	Over bool
	// Ready is when the last ply of it is cut; NaN where nothing is known
	// about cutting.
	Ready float64
}

// Wet is the wet set of the slot; nil where it is a whole kit.
func (s *Slot) Wet() *Set {
	if s.Set < 1 || s.Kit.Plan == nil || s.Set > len(s.Kit.Plan.Sets) {
		return nil
	}
	return &s.Kit.Plan.Sets[s.Set-1]
}

// Title names the slot in messages.
func (s *Slot) Title() string {
	if s.Set == 0 {
		return s.Kit.Title()
	}
	return fmt.Sprintf("%s, wet set %d", s.Kit.Title(), s.Set)
}

// Late is how long after it should leave a slot is ready, minutes; 0 where it
// is in time or nothing is known.
func (s *Slot) Late() float64 {
	// What rounding leaves of a plan that just keeps up is no delay.
	if late := s.Ready - s.Leave; late > 1e-6 {
		return late
	}
	return 0
}

// ErrNoPace says that nothing is known about the time laying takes.
var ErrNoPace = errors.New("no timetable: the job states no pace of laying, or no kit holds fibre")

// Timetable says when each wet set of each kit must leave the cutting room
// and whether it is cut by then, in order of leaving. Kits are begun in their
// order, each by the crew that is free first.
//
// A kit without fibre takes no time, but leaves in its turn.
//
// The list does not wait for cutting: what is late says so, and starting
// later by the greatest lateness (Delay) puts everything in time.
func Timetable(kits []Kit, s Shift) ([]Slot, error) {
	crews := max(1, s.Crews)
	free := make([]float64, crews)
	for i := range free {
		free[i] = s.Start
	}
	cut := cutEnds(kits, s)
	paced := false
	for i := range kits {
		paced = paced || kits[i].Minutes > 0
	}
	if !paced && len(kits) > 0 {
		return nil, ErrNoPace
	}
	var out []Slot
	for i := range kits {
		k := &kits[i]
		crew := 0
		for c := range free {
			if free[c] < free[crew] {
				crew = c
			}
		}
		at := free[crew]
		sets := setsOf(k)
		whole := 0.0
		for n := range sets {
			whole += s.before(sets, n) + sets[n].Minutes
		}
		if whole <= s.Hours.longest() {
			at = s.Hours.fit(at, whole)
		}
		for n, set := range sets {
			at = s.Hours.fit(at+s.before(sets, n), set.Minutes)
			slot := Slot{Kit: k, Set: set.Number, Crew: crew + 1, Leave: at - s.Carry, Lay: at, Done: at + set.Minutes, Ready: math.NaN()}
			slot.Over = s.Hours.over(slot.Lay, slot.Done)
			for _, l := range k.Lines[set.From:set.To] {
				if l.Place == nil || s.CutMinutes == nil {
					continue
				}
				if end, ok := cut[l.Place.LayoutIndex]; ok && !(slot.Ready >= end) {
					slot.Ready = end
				}
			}
			at = slot.Done
			out = append(out, slot)
		}
		free[crew] = at + s.BetweenKits
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Leave < out[j].Leave })
	return out, nil
}

// before is what passes before the n-th set of a kit, from 0, is begun.
func (s *Shift) before(sets []Set, n int) float64 {
	switch {
	case n == 0:
		return 0
	case sets[n-1].Stops():
		return max(s.BetweenSets, s.Cure)
	}
	return s.BetweenSets
}

// setsOf are the sets of a kit, or the whole kit as set 0.
func setsOf(k *Kit) []Set {
	if k.Plan != nil && len(k.Plan.Sets) > 0 {
		return k.Plan.Sets
	}
	return []Set{{To: len(k.Lines), Minutes: k.Minutes}}
}

// cutEnds is when each layout is cut, by its place in the record. Layouts
// that none of the kits comes from are cut in their turn only if they are
// known, so kits of the whole record should be given. What was cut again is
// cut when it is wanted, in no layout's turn.
func cutEnds(kits []Kit, s Shift) map[int]float64 {
	if s.CutMinutes == nil {
		return nil
	}
	names := map[int]string{}
	for i := range kits {
		for j := range kits[i].Lines {
			if p := kits[i].Lines[j].Place; p != nil && !p.CutAgain {
				names[p.LayoutIndex] = p.Layout
			}
		}
	}
	var idx []int
	for i := range names {
		idx = append(idx, i)
	}
	sort.Ints(idx)
	ends := map[int]float64{}
	at := s.CutFrom
	for _, i := range idx {
		minutes := s.CutMinutes(names[i])
		at = s.CutHours.fit(at, minutes) + minutes
		ends[i] = at
	}
	return ends
}

// maxDaysAhead is how many days before the first kit is laid cutting may begin
// for LatestCut to find it.
const maxDaysAhead = 60

// LatestCut is the latest moment at which the table can begin on the first
// layout with every slot still cut in time; NaN where nothing is known about
// cutting, -Inf where it would be more than maxDaysAhead before.
func LatestCut(kits []Kit, slots []Slot, s Shift) (float64, error) {
	slack := Slack(slots)
	if math.IsNaN(slack) || !s.CutHours.End() {
		return s.CutFrom + slack, nil
	}
	keepsUp := func(from float64) (bool, error) {
		s.CutFrom = from
		trial, err := Timetable(kits, s)
		return err == nil && Slack(trial) >= -1e-9, err
	}
	// Later is never better, since no layout is then cut earlier: halve between
	// a moment that keeps up and one that does not.
	bad := 0.0
	for i := range slots {
		bad = max(bad, slots[i].Leave)
	}
	bad = math.Ceil(bad) + 1
	good := math.Inf(-1)
	for n := range maxDaysAhead {
		from := float64(math.Floor(s.Start/day)*day) - float64(float64(n)*day) + s.CutHours.Open
		ok, err := keepsUp(from)
		if err != nil {
			return 0, err
		}
		if ok {
			good = from
			break
		}
		bad = min(bad, from)
	}
	for good > math.Inf(-1) && bad-good > 1 {
		middle := math.Floor((good + bad) / 2)
		ok, err := keepsUp(middle)
		if err != nil {
			return 0, err
		}
		if ok {
			good = middle
		} else {
			bad = middle
		}
	}
	return good, nil
}

// Delay is how much later than planned laying would have to begin for cutting
// to keep up, minutes; 0 where it does.
func Delay(slots []Slot) float64 {
	worst := 0.0
	for i := range slots {
		worst = max(worst, slots[i].Late())
	}
	return worst
}

// Slack is how much later than planned cutting could begin with every slot
// still in time, minutes: negative where it must begin earlier, NaN where
// nothing is known about cutting.
func Slack(slots []Slot) float64 {
	least := math.NaN()
	for i := range slots {
		if d := slots[i].Leave - slots[i].Ready; !math.IsNaN(d) && !(d >= least) {
			least = d
		}
	}
	return least
}
