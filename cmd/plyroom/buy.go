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
	"plyroom/nest/relay"
	"plyroom/nest/remnant"
	"plyroom/nest/study"
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
	fresh     prepregFlags
	store     string
	rack      bool
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

The need is set against the rolls by the metre, and the output says how much
more the ends of these rolls and their flaws may cost. --rack lays the plan on
the rolls and orders themselves instead. --remnants fills the free pieces of a
store first; nothing is taken or held there.

Stopped by Ctrl-C or a shutdown, it tells what it knows so far.

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
	o.fresh.registerAge(cmd)
	remnantsFlag(cmd, &o.store)
	f.BoolVar(&o.rack, "rack", false, "lay the plan on the rolls and open orders themselves, instead of counting their metres; not for estimates")
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
	if o.rack && buy.Estimates(job, o.full) {
		return fmt.Errorf("--rack lays every unit on the rolls, and so many are estimated: leave --rack out, or raise --full (up to %d pieces)", buy.MaxLaid)
	}
	if err := o.day(job); err != nil {
		return err
	}
	pieces, err := freeRemnants(o.store, job)
	if err != nil {
		return err
	}
	bar := newProgress(a.stderr)
	defer bar.done()
	list, err := o.list(cmd.Context(), job, settings, opt, pieces, bar)
	if err != nil {
		return err
	}
	bar.done()
	if cmd.Context().Err() != nil {
		fmt.Fprintln(a.stderr, "stopped early: the figures are those of the best layouts found so far; what was not begun is left out")
	}
	for _, words := range o.unanswered(job) {
		fmt.Fprintln(a.stderr, words)
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

// unanswered says what was asked for and the job's figures do not tell.
func (o *buyFlags) unanswered(job *shapes.Job) []string {
	widths, lead := false, false
	for _, f := range job.Fabrics {
		widths = widths || len(f.Bought().Widths) > 0
		lead = lead || f.Bought().LeadTime > 0
	}
	var out []string
	if o.widths && !widths {
		out = append(out, "--widths: no delivery widths stated; add to a fabric, buying: {widths: [{width: 1270}]}")
	}
	if o.by != "" && !lead {
		out = append(out, "--by: no lead time stated, so no last day to order; add to a fabric, buying: {lead_time: 10}")
	}
	return out
}

// day dates the job by today where it has rolls that expire and no date: what
// has expired is not there to be used.
func (o *buyFlags) day(job *shapes.Job) error {
	if err := o.fresh.age(job); err != nil || job.Date != "" {
		return err
	}
	for _, f := range job.Fabrics {
		for i := range f.Rolls {
			if f.Rolls[i].Expires != "" {
				var err error
				job.Date, err = dayOf("")
				return err
			}
		}
	}
	return nil
}

// freeRemnants reads the free remnants of a store that a job could use. None
// is held: nothing is cut yet.
func freeRemnants(dir string, job *shapes.Job) ([]remnant.Remnant, error) {
	if dir == "" {
		return nil, nil
	}
	s, err := remnant.Open(dir)
	if err != nil {
		return nil, err
	}
	entries, err := s.List()
	if err != nil {
		return nil, err
	}
	var free []remnant.Remnant
	for _, e := range entries {
		if e.State == remnant.Free {
			free = append(free, e.Remnant)
		}
	}
	return relay.Usable(job, free), nil
}

// list lays what the buyer asked for and makes the list.
func (o *buyFlags) list(ctx context.Context, job *shapes.Job, settings plan.Settings, opt buy.Options, pieces []remnant.Remnant, bar *progress) (*buy.List, error) {
	done, of := 0, o.nests(job, len(pieces) > 0)
	next := func(j *shapes.Job, how string) {
		done++
		if of > 1 {
			bar.begin(done, max(done, of), whatIsLaid(j)+how)
		}
	}
	onNew := settings
	onNew.IgnoreStock, onNew.Unweighed = true, true
	lay := func(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
		next(j, "")
		return plan.Lay(ctx, j, onNew, bar.update)
	}
	var store *buy.Remnants
	if len(pieces) > 0 {
		store = &buy.Remnants{Lay: func(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
			next(j, ", remnants first")
			return relay.OnRemnants(ctx, j, pieces, onNew, bar.update)
		}}
		for _, p := range pieces {
			store.IDs = append(store.IDs, p.ID)
		}
	}
	needs, err := buy.LayNeeds(ctx, job, lay, o.full, store)
	if err != nil {
		return nil, layFailure(err)
	}
	// What is compared is compared on new fabric.
	together := needs
	if o.rack && ctx.Err() == nil {
		onRolls := settings
		onRolls.RollsAsListed, onRolls.Unweighed = true, true
		needs, err = buy.LayRack(ctx, job, func(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
			next(j, ", on the rolls themselves")
			return relay.OnRemnants(ctx, j, pieces, onRolls, bar.update)
		}, opt.By, needs, store)
		if err != nil {
			return nil, layFailure(err)
		}
	}
	list, err := buy.Make(job, needs, opt)
	if err != nil {
		return nil, cannot(err)
	}
	if store != nil && (len(o.groups) > 0 || o.widths) && ctx.Err() == nil {
		if together, err = buy.LayNeeds(ctx, job, lay, o.full, nil); err != nil {
			return nil, layFailure(err)
		}
	}
	if len(o.groups) > 0 {
		slices.Sort(o.groups)
		if list.Groups, err = buy.LayGroups(ctx, job, lay, slices.Compact(o.groups), together); err != nil {
			return nil, layFailure(err)
		}
	}
	if o.widths {
		if list.Widths, err = buy.LayWidths(ctx, job, lay, o.full, together, opt); err != nil {
			return nil, layFailure(err)
		}
	}
	list.Stopped = list.Stopped || ctx.Err() != nil
	return list, nil
}

// whatIsLaid names the units of a nest, and the fabric where there is one only.
func whatIsLaid(j *shapes.Job) string {
	least, most := 0, 0
	for i, p := range j.Parts {
		if i == 0 || p.Units < least {
			least = p.Units
		}
		most = max(most, p.Units)
	}
	s := fmt.Sprintf("%d of each part", most)
	if least != most {
		s = fmt.Sprintf("%d to %d of each part", least, most)
	}
	if len(j.Fabrics) == 1 {
		s += fmt.Sprintf(", %s %g mm wide", j.Fabrics[0].Name, j.Fabrics[0].Width)
	}
	return s
}

// nests is how many nests are laid for what the buyer asked.
func (o *buyFlags) nests(job *shapes.Job, store bool) int {
	each := func(j *shapes.Job) int {
		if buy.Estimates(j, o.full) {
			return len(buy.Batches())
		}
		return 1
	}
	n := each(job)
	if store && n > 1 {
		n++
	}
	if store && (len(o.groups) > 0 || o.widths) {
		n += each(job)
	}
	if o.rack {
		n++
	}
	all := study.Sets(job)
	sizes := map[int]bool{}
	for _, g := range o.groups {
		if g < all {
			sizes[g] = true
			if rest := all % g; rest > 0 {
				sizes[rest] = true
			}
		}
	}
	n += len(sizes)
	if o.widths {
		for _, f := range job.Fabrics {
			if c := study.Only(job, f.Name); len(c.Parts) > 0 {
				n += each(c) * len(f.Bought().Widths)
			}
		}
	}
	return n
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
	job.Cutting.KeepTogether = slices.DeleteFunc(job.Cutting.KeepTogether, func(name string) bool {
		return !slices.ContainsFunc(job.Parts, func(p *shapes.Part) bool { return p.Name == name })
	})
	job.Cutting.KeepTogether = slices.DeleteFunc(job.Cutting.KeepTogether, func(name string) bool {
		return !slices.ContainsFunc(job.Parts, func(p *shapes.Part) bool { return p.Name == name })
	})
	if len(job.Parts) == 0 {
		return errors.New("--units leaves no part to make")
	}
	if n := buy.Pieces(job); n > jobfile.MaxPieces {
		return fmt.Errorf("--units %s: that makes %d pieces; a job has at most %d: buy for fewer units and multiply", strings.Join(words, " "), n, jobfile.MaxPieces)
	}
	return nil
}
