package run

import (
	"errors"
	"math"
	"slices"
	"time"

	"plyroom/export/kitlist"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// NewSchedule makes the timetable of a record's kits for a shift; with nil it
// takes the record's own, or else a crew that begins at shapes.DefaultStart.
// It is nil where the job states no pace.
//
// Where the shift does not say when cutting begins, it is the latest time at
// which every set is still cut before it leaves. The table has the laminators'
// hours, but for an earlier beginning that the shift states.
func NewSchedule(rec *nest.Record, kits []kit.Kit, paths map[string]*toolpath.Path, s *shapes.Shift) (*kitlist.Schedule, error) {
	if s == nil && rec.Laminating != nil {
		s = rec.Laminating.Shift
	}
	if s == nil {
		s = &shapes.Shift{Start: shapes.DefaultStart, Crews: 1}
	}
	minutes := layoutMinutes(rec, paths)
	shift := kit.Shift{
		Start: s.Start, Crews: s.Crews, BetweenSets: s.BetweenSets, BetweenKits: s.BetweenKits, Carry: s.Carry,
		CutFrom:    s.Start,
		CutMinutes: func(layout string) float64 { return minutes[layout] },
	}
	if rec.Laminating != nil {
		shift.Cure, shift.CureAfter = rec.Laminating.Cure, rec.Laminating.CureAfter
	}
	if s.CutFrom != nil {
		shift.CutFrom = *s.CutFrom
	}
	days := worked(s.Days, rec.Date)
	if s.End != nil {
		shift.Hours = kit.Hours{Open: s.Start, Close: *s.End, Works: days}
		shift.CutHours = kit.Hours{Open: math.Min(s.Start, shift.CutFrom), Close: *s.End, Works: days}
	}
	slots, err := kit.Timetable(kits, shift)
	if errors.Is(err, kit.ErrNoPace) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	latest, err := kit.LatestCut(kits, slots, shift)
	if err != nil {
		return nil, err
	}
	if s.CutFrom == nil && !math.IsNaN(latest) && !math.IsInf(latest, 0) {
		shift.CutFrom = latest
		if slots, err = kit.Timetable(kits, shift); err != nil {
			return nil, err
		}
	}
	return &kitlist.Schedule{
		Slots: slots, Shift: shift, CutGiven: s.CutFrom != nil, LatestCut: latest,
		Date: rec.Date, Days: s.Days,
		Overruns: kit.Overruns(kits, slots, shift),
	}, nil
}

// worked tells which days are worked, counted from a date as 0. Where that is
// not known, or no days are named, every day is.
func worked(names []string, first shapes.Date) func(day int) bool {
	at, err := time.Parse(time.DateOnly, string(first))
	if len(names) == 0 || err != nil {
		return nil
	}
	return func(day int) bool {
		return slices.Contains(names, shapes.Weekdays[at.AddDate(0, 0, day).Weekday()])
	}
}

// layoutMinutes estimates how long each layout takes, min: the knife's work
// from its path, spreading, changes of roll and kitting from the job's rates.
func layoutMinutes(rec *nest.Record, paths map[string]*toolpath.Path) map[string]float64 {
	out := make(map[string]float64, len(rec.Layouts))
	before := nest.Minutes{}
	upTo := *rec
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		upTo.Layouts = rec.Layouts[:i+1]
		m := account.Minutes(&upTo)
		cutting := m.Cutting - before.Cutting
		out[l.ID] = m.Total() - before.Total()
		if p := paths[l.ID]; p != nil {
			out[l.ID] += p.Stats.Minutes - cutting
		}
		before = m
	}
	return out
}
