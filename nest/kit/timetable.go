package kit

import (
	"errors"
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
	// CutFrom is when the table begins on the first layout of the record.
	// Layouts are cut in the record's order.
	CutFrom float64
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
	// Ready is when the last ply of it is cut; NaN where nothing is known
	// about cutting.
	Ready float64
}

// Late is how long after it should leave a slot is ready, minutes; 0 where it
// is in time or nothing is known.
func (s *Slot) Late() float64 {
	if math.IsNaN(s.Ready) {
		return 0
	}
	return max(0, s.Ready-s.Leave)
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
		for n, set := range setsOf(k) {
			if n > 0 {
				at += s.BetweenSets
			}
			slot := Slot{Kit: k, Set: set.Number, Crew: crew + 1, Leave: at - s.Carry, Lay: at, Done: at + set.Minutes, Ready: math.NaN()}
			for _, l := range k.Lines[set.From:set.To] {
				if l.Place == nil || s.CutMinutes == nil {
					continue
				}
				if end := cut[l.Place.LayoutIndex]; !(slot.Ready >= end) {
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

// setsOf are the sets of a kit, or the whole kit as set 0.
func setsOf(k *Kit) []Set {
	if k.Plan != nil && len(k.Plan.Sets) > 0 {
		return k.Plan.Sets
	}
	return []Set{{To: len(k.Lines), Minutes: k.Minutes}}
}

// cutEnds is when each layout is cut, by its place in the record. Layouts
// that none of the kits comes from are cut in their turn only if they are
// known, so kits of the whole record should be given.
func cutEnds(kits []Kit, s Shift) map[int]float64 {
	if s.CutMinutes == nil {
		return nil
	}
	names := map[int]string{}
	for i := range kits {
		for j := range kits[i].Lines {
			if p := kits[i].Lines[j].Place; p != nil {
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
		at += s.CutMinutes(names[i])
		ends[i] = at
	}
	return ends
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
