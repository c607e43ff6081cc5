package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plyroom/shapes"
)

// shiftFlags are the options that stand in for the job's shift.
type shiftFlags struct {
	start, end, cutFrom string
	days                []string
	crews               int
	carry, betweenSets  time.Duration
	betweenKits         time.Duration
}

func (s *shiftFlags) register(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&s.start, "start", "", "time of day when the first kit is laid, as 07:30")
	f.StringVar(&s.end, "end", "", "time of day when work ends; what would not be done by then waits for the next day")
	f.StringSliceVar(&s.days, "days", nil, "days of the week that are worked, as mon,tue,wed,thu,fri; the run's date says which is the first")
	f.StringVar(&s.cutFrom, "cut-from", "", "time of day when the table begins on the first layout; without it the timetable says when it must")
	f.IntVar(&s.crews, "crews", 1, "kits laid at once")
	f.DurationVar(&s.carry, "carry", 0, "how long before it is laid a set leaves the cutting room, as 10m")
	f.DurationVar(&s.betweenSets, "between-sets", 0, "what passes between two wet sets of a kit, as 20m")
	f.DurationVar(&s.betweenKits, "between-kits", 0, "what passes before a crew begins its next kit, as 30m")
}

// over lays the flags that were given over the job's shift; nil where none
// was.
func (s *shiftFlags) over(cmd *cobra.Command, lam *shapes.Laminating) (*shapes.Shift, error) {
	out := shapes.Shift{Start: shapes.DefaultStart, Crews: 1}
	if lam != nil && lam.Shift != nil {
		out = *lam.Shift
	}
	given := false
	is := func(name string) bool {
		changed := cmd.Flags().Changed(name)
		given = given || changed
		return changed
	}
	var err error
	if is("start") {
		if out.Start, err = shapes.ParseClock(s.start); err != nil {
			return nil, fmt.Errorf("--start: %w", err)
		}
	}
	if is("end") {
		end, err := shapes.ParseClock(s.end)
		if err != nil {
			return nil, fmt.Errorf("--end: %w", err)
		}
		out.End = &end
	}
	if out.End != nil && *out.End <= out.Start {
		return nil, fmt.Errorf("the shift ends before it begins; a shift past midnight cannot be given, leave its end out")
	}
	if is("days") {
		for _, d := range s.days {
			if !slices.Contains(shapes.Weekdays, d) {
				return nil, fmt.Errorf("--days: unknown day %q; known are %s", d, strings.Join(shapes.Weekdays, ", "))
			}
		}
		out.Days = s.days
	}
	if len(out.Days) > 0 && out.End == nil {
		return nil, fmt.Errorf("--days needs --end: work that has no end of day knows no days off")
	}
	if is("cut-from") {
		from, err := shapes.ParseClock(s.cutFrom)
		if err != nil {
			return nil, fmt.Errorf("--cut-from: %w", err)
		}
		out.CutFrom = &from
	}
	if is("crews") {
		if s.crews < 1 || s.crews > 1000 {
			return nil, fmt.Errorf("--crews %d: give a whole number from 1 to 1000", s.crews)
		}
		out.Crews = s.crews
	}
	for _, d := range []struct {
		name string
		from time.Duration
		to   *float64
	}{{"carry", s.carry, &out.Carry}, {"between-sets", s.betweenSets, &out.BetweenSets}, {"between-kits", s.betweenKits, &out.BetweenKits}} {
		if !is(d.name) {
			continue
		}
		if d.from < 0 {
			return nil, fmt.Errorf("--%s %v: give a time of 0 or more, such as 15m", d.name, d.from)
		}
		*d.to = d.from.Minutes()
	}
	if !given {
		return nil, nil
	}
	return &out, nil
}
