package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plyroom/export"
	pages "plyroom/export/study"
	"plyroom/nest"
	"plyroom/nest/plan"
	"plyroom/nest/study"
	"plyroom/shapes"
)

// studyFlags are the options of plyroom study.
type studyFlags struct {
	out     string
	vary    []string
	relax   string
	effort  int
	seed    uint64
	seeds   int
	workers int
	shard   string
	shards  int
	merge   bool
	from    []string
	nests   []string
	again   bool
	extend  bool
	asJSON  bool
	asCSV   bool
}

func (a *app) studyCommand() *cobra.Command {
	var o studyFlags
	cmd := &cobra.Command{
		Use:   "study JOB.yaml -o DIR (--vary NAME=VALUES… | --relax)",
		Short: "Lay a job over roll widths, gaps, tolerances and groupings, and say what each rule costs",
		Long: `Lay the job once for every combination of what --vary lists, and once for every
rule that --relax relaxes, each under several seeds and the same effort. Stock is
left out: every nest takes as much fabric as it needs.

What can be varied:
  ` + strings.Join(study.Axes(), "\n  ") + `
A value "job" leaves it as the job says; 1000..1400/50 is a row of figures.

The folder keeps a small file per nest. The same command goes on where it was
stopped; --shard lays a share of the nests, so that many machines fill one
folder (or folders of their own, which --from merges). --merge lays nothing: it
writes the tables, the page and the picture from what is there and names what is missing.`,
		Example: `  plyroom study job.yaml -o DIR --vary "width=WR 600:1000,1270,+50" --vary gap=0,3,5
  plyroom study job.yaml -o DIR --relax --seeds 5
  plyroom study job.yaml -o DIR --relax --shard auto/8
  plyroom study job.yaml -o DIR --merge`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return a.study(cmd, args[0], &o) },
	}
	f := cmd.Flags()
	f.StringVarP(&o.out, "output", "o", "", "folder of the study; it is gone on with where it exists")
	f.StringArrayVar(&o.vary, "vary", nil, "what is varied, NAME=VALUE,VALUE or NAME=TARGET:VALUE,VALUE (repeatable)")
	f.StringVar(&o.relax, "relax", "", "relax one rule at a time: all of them, or --relax=KIND,KIND of ("+strings.Join(study.Relaxable, ", ")+")")
	f.Lookup("relax").NoOptDefVal = "all"
	f.IntVar(&o.effort, "effort", 5, "work spent on every nest: same effort and seed, same layouts")
	f.Uint64Var(&o.seed, "seed", 1, "the first seed")
	f.IntVar(&o.seeds, "seeds", 3, "how many seeds each case is laid with, to tell gains from luck")
	f.IntVar(&o.workers, "workers", 0, "searches side by side (default: one per core)")
	f.StringVar(&o.shard, "shard", "", "lay a share of the nests only: K/N, or auto/N inside an indexed job or job array")
	f.IntVar(&o.shards, "shards", 0, "with --merge: into how many shards the study was cut, to name lost ones")
	f.BoolVar(&o.merge, "merge", false, "lay nothing; write tables and page from the results there are")
	f.StringArrayVar(&o.from, "from", nil, "with --merge: another folder with results of this study (repeatable)")
	f.StringArrayVar(&o.nests, "nest", nil, "lay only the nest of this ID, as --merge names it (repeatable)")
	f.BoolVar(&o.again, "again", false, "lay nests anew that have a result")
	f.BoolVar(&o.extend, "extend", false, "give the folder another grid or other rules; results in common are kept")
	f.BoolVar(&o.asJSON, "json", false, "print the result as JSON")
	f.BoolVar(&o.asCSV, "csv", false, "print the tables as CSV")
	_ = cmd.MarkFlagRequired("output")
	cmd.MarkFlagsMutuallyExclusive("json", "csv")
	cmd.MarkFlagsMutuallyExclusive("merge", "shard")
	cmd.MarkFlagsMutuallyExclusive("merge", "nest")
	return cmd
}

func (a *app) study(cmd *cobra.Command, path string, o *studyFlags) error {
	spec, err := o.spec(cmd)
	if err != nil {
		return err
	}
	which := study.Choice{IDs: o.nests, Again: o.again}
	if o.shard != "" {
		if which.Shard, err = study.ParseShard(o.shard, os.Getenv); err != nil {
			return err
		}
	}
	if len(o.from) > 0 && !o.merge {
		return errors.New("--from is for --merge")
	}
	job, err := a.readJob(path)
	if err != nil {
		return err
	}
	p, err := study.NewPlan(job, spec)
	if err != nil {
		return err
	}
	store, err := study.Open(o.out, p, o.extend)
	var other *study.OtherStudy
	if errors.As(err, &other) {
		return fmt.Errorf("%w (--extend changes what is varied)", err)
	}
	if err != nil {
		return err
	}
	if !o.merge {
		if which.Shard.N > 0 {
			if err := store.SetShards(which.Shard.N); err != nil {
				return cannot(err)
			}
		}
		told := newStudyProgress(a.stderr, which.Shard)
		err := store.Run(cmd.Context(), which, layer(o.workers), told.update)
		switch {
		case cmd.Context().Err() != nil:
			return cannot(fmt.Errorf("stopped: %d of %d nests are done; the same command goes on from there", told.last.Done, told.last.Of))
		case err != nil:
			return cannot(err)
		}
		if which.Shard.N > 0 || len(o.nests) > 0 {
			fmt.Fprintf(a.stdout, "shard %s done: %d nests, %d of them before; plyroom study %s -o %s --merge writes the tables\n",
				which.Shard, told.last.Done, told.last.Kept, path, o.out)
			return nil
		}
	}
	results, err := store.Read()
	if err != nil {
		return cannot(err)
	}
	for _, dir := range o.from {
		if err := store.ReadInto(dir, results); err != nil {
			return cannot(err)
		}
	}
	t := p.Merge(results)
	if err := writeStudy(o.out, t); err != nil {
		return cannot(err)
	}
	if err := a.showStudy(t, o); err != nil {
		return cannot(err)
	}
	if len(t.Missing) > 0 {
		return cannot(a.nameLost(store, p, results, path, o))
	}
	return nil
}

// spec reads the flags, or takes what the folder varies where nothing is
// asked for.
func (o *studyFlags) spec(cmd *cobra.Command) (study.Spec, error) {
	var spec study.Spec
	for _, v := range o.vary {
		axis, err := study.ParseAxis(v)
		if err != nil {
			return spec, err
		}
		spec.Axes = append(spec.Axes, axis)
	}
	if o.relax != "" {
		kinds, err := study.ParseRelax(o.relax)
		if err != nil {
			return spec, err
		}
		spec.Relax = kinds
	}
	asked := cmd.Flags().Changed("effort") || cmd.Flags().Changed("seed") || cmd.Flags().Changed("seeds")
	if len(spec.Axes) == 0 && len(spec.Relax) == 0 {
		there, err := study.ReadSpec(o.out)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return spec, errors.New("nothing is varied: give --vary or --relax")
		case err != nil:
			return spec, err
		case asked && !o.extend:
			return spec, errors.New("--effort, --seed and --seeds come with --vary or --relax")
		}
		spec = *there
		if !asked {
			return spec, nil
		}
	}
	spec.Effort, spec.Seed, spec.Seeds = o.effort, o.seed, o.seeds
	return spec, nil
}

// layer lays one nest.
func layer(workers int) study.Layer {
	return func(ctx context.Context, j *shapes.Job, effort int, seed uint64) (*nest.Record, error) {
		rec, err := plan.Lay(ctx, j, plan.Settings{Effort: effort, Seed: seed, Workers: workers, IgnoreStock: true, Unweighed: true}, nil)
		var no *plan.CannotLay
		if errors.As(err, &no) {
			// Without paths and lines: results must not depend on where the job
			// was read from.
			var lines []string
			for _, p := range no.Problems {
				lines = append(lines, strings.TrimPrefix(p.Ply+": "+p.Message, ": "))
			}
			return nil, &study.Impossible{Reason: strings.Join(lines, "\n")}
		}
		return rec, err
	}
}

// writeStudy writes tables and page into the folder.
func writeStudy(dir string, t *study.Table) error {
	files := []struct {
		name  string
		there bool
		write func(io.Writer) error
	}{
		{"cases.csv", len(t.Rows) > 0, pages.Cases(t).WriteCSV},
		{"rules.csv", len(t.Rules) > 0, pages.Rules(t).WriteCSV},
		{"results.json", true, func(w io.Writer) error { return encodeJSON(w, t) }},
		{"answer.svg", pages.HasAnswer(t), func(w io.Writer) error { return pages.WriteAnswer(w, t) }},
		{"study.html", true, func(w io.Writer) error { return pages.WritePage(w, t) }},
	}
	for _, f := range files {
		if f.there {
			if err := export.WriteFile(filepath.Join(dir, f.name), f.write); err != nil {
				return err
			}
		}
	}
	return nil
}

func encodeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}

func (a *app) showStudy(t *study.Table, o *studyFlags) error {
	if o.asJSON {
		return encodeJSON(a.stdout, t)
	}
	if len(t.Rows) > 0 {
		table := pages.Cases(t)
		if o.asCSV {
			if err := table.WriteCSV(a.stdout); err != nil {
				return err
			}
		} else if err := table.WriteText(a.stdout, 0); err != nil {
			return err
		}
	}
	if len(t.Rules) > 0 {
		table := pages.Rules(t)
		if len(t.Rows) > 0 {
			fmt.Fprintln(a.stdout)
		}
		if o.asCSV {
			return table.WriteCSV(a.stdout)
		}
		if err := table.WriteText(a.stdout, 0); err != nil {
			return err
		}
	}
	if o.asCSV {
		return nil
	}
	for _, s := range pages.InWords(t) {
		fmt.Fprintln(a.stdout, s)
	}
	fmt.Fprintf(a.stdout, "written to %s; open %s/study.html\n", o.out, o.out)
	return nil
}

// nameLost says which shards and nests have no result, and how to rerun them.
func (a *app) nameLost(store *study.Store, p *study.Plan, results map[string]*study.Outcome, path string, o *studyFlags) error {
	n := o.shards
	if n == 0 {
		n = store.Shards()
	}
	var lines []string
	if n > 0 {
		for _, l := range p.Lost(results, n) {
			lines = append(lines, fmt.Sprintf("shard %s lacks %d of %d nests: plyroom study %s -o %s --shard %s", l.Shard, l.Missing, l.Of, path, o.out, l.Shard))
		}
	}
	const most = 20
	shown := 0
	for i := range p.Nests {
		nest := &p.Nests[i]
		if results[nest.ID] != nil {
			continue
		}
		if shown++; shown > most {
			continue
		}
		lines = append(lines, fmt.Sprintf("nest %s lacks its result (%s; %s, seed %d)", nest.ID, nest.Words, strings.Join(nest.Fabrics, ", "), nest.Seed))
	}
	if shown > most {
		lines = append(lines, fmt.Sprintf("and %d more", shown-most))
	}
	return fmt.Errorf("%d of %d nests have no result yet:\n%s", shown, len(p.Nests), strings.Join(lines, "\n"))
}

// studyProgress tells what is done and what is left, a line per nest.
type studyProgress struct {
	w       io.Writer
	shard   study.Shard
	started time.Time
	last    study.Progress
}

func newStudyProgress(w io.Writer, s study.Shard) *studyProgress {
	return &studyProgress{w: w, shard: s, started: time.Now()}
}

func (p *studyProgress) update(n study.Progress) {
	first := p.last.Of == 0
	p.last = n
	if first && n.Kept > 0 {
		fmt.Fprintf(p.w, "%d of %d nests were done before\n", n.Kept, n.Of)
	}
	if n.Nest == nil {
		return
	}
	left := ""
	if laid := n.Done + n.Failed - n.Kept; laid > 0 {
		d := time.Since(p.started) / time.Duration(laid) * time.Duration(n.Of-n.Done-n.Failed)
		left = ", about " + d.Round(time.Second).String() + " left"
	}
	fmt.Fprintf(p.w, "%6.1f s  nest %d of %d%s: %s, %s, seed %d\n", time.Since(p.started).Seconds(), n.Done+n.Failed+1, n.Of, left,
		n.Nest.Words, strings.Join(n.Nest.Fabrics, " with "), n.Nest.Seed)
}
