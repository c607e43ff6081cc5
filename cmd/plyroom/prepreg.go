package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plyroom/export/rolllog"
	"plyroom/export/run"
	"plyroom/shapes"
)

// prepregFlags are the options for rolls that expire.
type prepregFlags struct {
	date, log string
	useAnyway bool
}

func (p *prepregFlags) register(cmd *cobra.Command) {
	p.registerAge(cmd)
	f := cmd.Flags()
	f.BoolVar(&p.useAnyway, "use-expired", false, "use rolls that have expired or whose out-life is used up; the documents say so")
}

// registerAge registers what age reads.
func (p *prepregFlags) registerAge(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&p.date, "date", "", "day the job is cut, as 2026-11-30, in place of the job's; a time may follow, as 2026-11-30T07:00")
	f.StringVar(&p.log, "roll-log", "", "log of prepreg rolls (plyroom roll) whose time out of the freezer is added to the job's")
}

// age dates the job and adds the time its rolls were out by the log.
func (p *prepregFlags) age(job *shapes.Job) error {
	until, err := p.moment(job)
	if err != nil {
		return err
	}
	if p.log != "" {
		if job.Date == "" {
			return fmt.Errorf("--roll-log needs the day the job is cut: give --date, or the job a date")
		}
		l, err := rolllog.Load(p.log)
		if err != nil {
			return err
		}
		for _, f := range job.Fabrics {
			for i := range f.Rolls {
				if f.Prepreg() {
					minutes, _ := l.OutTime(f.Rolls[i].Name, until)
					f.Rolls[i].OutUsed += minutes
				}
			}
		}
	}
	return nil
}

// apply ages the rolls of a job and refuses those that may no longer be used.
func (p *prepregFlags) apply(job *shapes.Job) error {
	if err := p.age(job); err != nil {
		return err
	}
	var unfit []string
	dated := false
	for _, f := range job.Fabrics {
		for i := range f.Rolls {
			r := &f.Rolls[i]
			dated = dated || r.Expires != ""
			if why := f.Unfit(r, job.Date); why != "" {
				unfit = append(unfit, fmt.Sprintf("roll %q of fabric %q may not be used: %s", r.Name, f.Name, why))
			}
		}
	}
	switch {
	case len(unfit) > 0 && !p.useAnyway:
		return cannot(fmt.Errorf("%s\ntake the %s off the job, or say --use-expired where the engineer allows it",
			strings.Join(unfit, "\n"), plural(len(unfit), "roll", "rolls")))
	case len(unfit) > 0:
		job.Cutting.UseExpired = true
		for _, u := range unfit {
			job.Notes = append(job.Notes, u+run.UsedAnyway)
		}
	}
	if dated && job.Date == "" {
		job.Notes = append(job.Notes, "rolls state when they expire but the job states no date: expiry is not checked")
	}
	return nil
}

// moment reads the date and dates the job. Without a time of day the whole day
// counts as passed, which is the careful side.
func (p *prepregFlags) moment(job *shapes.Job) (time.Time, error) {
	day, clock := p.date, ""
	if d, c, ok := strings.Cut(p.date, "T"); ok {
		day, clock = d, c
	}
	if day != "" || p.date != "" {
		d, err := shapes.ParseDate(day)
		if err != nil {
			return time.Time{}, fmt.Errorf("--date: %w", err)
		}
		job.Date = d
	}
	if job.Date == "" {
		return time.Time{}, nil
	}
	t, err := time.Parse(time.DateOnly, string(job.Date))
	if err != nil {
		return time.Time{}, err
	}
	minutes := 24 * 60.0
	if clock != "" {
		if minutes, err = shapes.ParseClock(clock); err != nil {
			return time.Time{}, fmt.Errorf("--date: %w", err)
		}
	}
	return t.Add(time.Duration(minutes) * time.Minute), nil
}
