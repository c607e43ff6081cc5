package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export"
	pages "plyroom/export/buy"
	"plyroom/nest"
	"plyroom/nest/buy"
	"plyroom/nest/plan"
	"plyroom/shapes"
	"plyroom/shapes/jobfile"
)

// buyFlags are the options of plyroom buy.
type buyFlags struct {
	search    searchFlags
	units     []string
	allowance float64
	by        string
	full      int
	groups    []int
	widths    bool
	xlsx      string
	asJSON    bool
	asCSV     bool
}

func (a *app) buyCommand() *cobra.Command {
	var o buyFlags
	cmd := &cobra.Command{
		Use:   "buy JOB.yaml",
		Short: "Say how much fabric a number of units needs, what stock covers, what to order and what it costs",
		Long: `Lay the job for a number of units on as much fabric as it needs, and set that
against the rolls and open orders the job lists: remnants first, then the oldest
lot, nothing that is reserved, expired or late. What is short is ordered in the
units the fabric is sold by, in whole steps, no less than the smallest order, up
to a price break where that costs less.

--units 10 makes ten of every part, --units "Spinner=4" four of one; without it
the job's own are taken. Beyond --full units of a part the need is estimated from
nests of 4, 8 and 12 units, with its error; the error is bought, and shown apart.

Where the job does not say by cutting.spread_policy what spreads are chosen for,
it is laid for the least fabric. The output says which policy held, and what
spreads cost and save.`,
		Example: `  plyroom buy job.yaml --units 10 --allowance 5
  plyroom buy job.yaml --units "Upper shell=12" --units Spinner=4 --groups 1,2
  plyroom buy job.yaml --units 40 --widths --by 2026-12-20 --xlsx buy.xlsx`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return a.buy(cmd, args[0], &o) },
	}
	o.search.register(cmd)
	f := cmd.Flags()
	f.StringArrayVar(&o.units, "units", nil, "how many of every part, or PART=N (repeatable)")
	f.Float64Var(&o.allowance, "allowance", 0, "percent added for flaws and recuts; shown apart from the need")
	f.StringVar(&o.by, "by", "", "day the fabric is needed, such as 2026-12-20: later orders do not count, and the last day to order is told")
	f.IntVar(&o.full, "full", buy.DefaultFull, "nest up to so many units of a part together; beyond, estimate (0: estimate only beyond "+strconv.Itoa(buy.MaxLaid)+" pieces)")
	f.IntSliceVar(&o.groups, "groups", nil, "also lay nests of so many sets, to be repeated, and say what nesting together saves")
	f.BoolVar(&o.widths, "widths", false, "also lay every width a fabric is delivered in")
	f.StringVar(&o.xlsx, "xlsx", "", "workbook to write, with a sheet for each table")
	f.BoolVar(&o.asJSON, "json", false, "print the result as JSON")
	f.BoolVar(&o.asCSV, "csv", false, "print the table as CSV")
	cmd.MarkFlagsMutuallyExclusive("json", "csv")
	return cmd
}

func (a *app) buy(cmd *cobra.Command, path string, o *buyFlags) error {
	settings, err := o.search.settings()
	if err != nil {
		return err
	}
	opt := buy.Options{Allowance: o.allowance / 100}
	if o.by != "" {
		if opt.By, err = shapes.ParseDate(o.by); err != nil {
			return fmt.Errorf("--by %s: give a day such as 2026-12-20", o.by)
		}
	}
	switch {
	case !(o.allowance >= 0 && o.allowance <= 100):
		return fmt.Errorf("--allowance %g: give percent from 0 to 100", o.allowance)
	case o.full < 0:
		return fmt.Errorf("--full %d: give a whole number, 0 or more", o.full)
	case slices.ContainsFunc(o.groups, func(n int) bool { return n < 1 }):
		return errors.New("--groups: give whole numbers above 0")
	}
	job, err := a.readJob(path)
	if err != nil {
		return err
	}
	if err := setUnits(job, o.units); err != nil {
		return err
	}
	bar := newProgress(a.stderr)
	defer bar.done()
	settings.IgnoreStock = true
	lay := func(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
		return plan.Lay(ctx, j, settings, bar.update)
	}
	ctx := cmd.Context()
	needs, err := buy.LayNeeds(ctx, job, lay, o.full)
	if err != nil {
		return layFailure(err)
	}
	list, err := buy.Make(job, needs, opt)
	if err != nil {
		return cannot(err)
	}
	if len(o.groups) > 0 {
		slices.Sort(o.groups)
		if list.Groups, err = buy.LayGroups(ctx, job, lay, slices.Compact(o.groups), needs); err != nil {
			return layFailure(err)
		}
	}
	if o.widths {
		if list.Widths, err = buy.LayWidths(ctx, job, lay, o.full, needs, opt); err != nil {
			return layFailure(err)
		}
	}
	bar.done()
	if ctx.Err() != nil {
		fmt.Fprintln(a.stderr, "stopped early: the figures are those of the best layouts found so far; comparisons not begun are left out")
	}
	if o.xlsx != "" {
		if err := export.WriteFile(o.xlsx, func(w io.Writer) error { return pages.WriteXLSX(w, list) }); err != nil {
			return cannot(err)
		}
	}
	switch {
	case o.asJSON:
		return encodeJSON(a.stdout, list)
	case o.asCSV:
		return pages.Fabrics(list).WriteCSV(a.stdout)
	}
	if err := pages.WriteText(a.stdout, list); err != nil {
		return cannot(err)
	}
	return nil
}

// setUnits sets how many of which part are made: "10" of every part, or
// "PART=N", the later word holding. The limits are those of the job file.
func setUnits(job *shapes.Job, words []string) error {
	for _, w := range words {
		name, n, one := "", w, false
		if i := strings.LastIndex(w, "="); i >= 0 {
			name, n, one = strings.TrimSpace(w[:i]), strings.TrimSpace(w[i+1:]), true
		}
		units, err := strconv.Atoi(n)
		if err != nil || units < 0 || units == 0 && !one || units > jobfile.MaxUnits {
			return fmt.Errorf("--units %s: give a whole number from 1 to %d, or PART=N", w, jobfile.MaxUnits)
		}
		found := false
		for _, p := range job.Parts {
			if !one || p.Name == name {
				p.Units, found = units, true
			}
		}
		if !found {
			var known []string
			for _, p := range job.Parts {
				known = append(known, strconv.Quote(p.Name))
			}
			return fmt.Errorf("--units %s: the job has no part %q; its parts are %s", w, name, strings.Join(known, ", "))
		}
	}
	// A part of which none is made is left out.
	job.Parts = slices.DeleteFunc(job.Parts, func(p *shapes.Part) bool { return p.Units == 0 })
	if len(job.Parts) == 0 {
		return errors.New("--units leaves no part to make")
	}
	if n := buy.Pieces(job); n > jobfile.MaxPieces {
		return fmt.Errorf("--units %s: that makes %d pieces; a job has at most %d: buy for fewer units and multiply", strings.Join(words, " "), n, jobfile.MaxPieces)
	}
	return nil
}
