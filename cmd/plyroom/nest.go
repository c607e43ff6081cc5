package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plyroom/export/run"
	"plyroom/nest"
	"plyroom/nest/plan"
	"plyroom/shapes"
	"plyroom/shapes/jobfile"
)

// searchFlags are the options of every command that lays plies.
type searchFlags struct {
	time    time.Duration
	effort  int
	seed    uint64
	workers int
}

func (s *searchFlags) register(cmd *cobra.Command) {
	f := cmd.Flags()
	f.DurationVar(&s.time, "time", plan.DefaultTime, "how long to search for better layouts; the first layout and the documents come on top")
	f.IntVar(&s.effort, "effort", 0, "search for a fixed amount of work instead: same effort and seed, same layouts")
	f.Uint64Var(&s.seed, "seed", 1, "which of many equally valid searches to run")
	f.IntVar(&s.workers, "workers", 0, "searches side by side (default: one per core)")
	cmd.MarkFlagsMutuallyExclusive("time", "effort")
}

func (s *searchFlags) settings() (plan.Settings, error) {
	switch {
	case s.time <= 0:
		return plan.Settings{}, fmt.Errorf("--time %v: give a time above 0, such as 60s or 5m", s.time)
	case s.effort < 0:
		return plan.Settings{}, fmt.Errorf("--effort %d: give a whole number above 0", s.effort)
	case s.workers < 0:
		return plan.Settings{}, fmt.Errorf("--workers %d: give a whole number above 0", s.workers)
	}
	return plan.Settings{Time: s.time, Effort: s.effort, Seed: s.seed, Workers: s.workers}, nil
}

func (a *app) nestCommand() *cobra.Command {
	var (
		search searchFlags
		out    string
		cut    cutFlags
		fresh  prepregFlags
		paper  paperFlags
		store  string
		force  bool
		short  bool
		asJSON bool
	)
	cmd := &cobra.Command{
		Use:   "nest JOB.yaml -o OUT",
		Short: "Lay a job and write layouts, cut files, labels, kit lists and a report",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			settings, err := search.settings()
			if err != nil {
				return err
			}
			settings.AllowShort = short
			opt, err := cut.options(&paper)
			if err != nil {
				return err
			}
			job, err := a.readJob(args[0])
			if err != nil {
				return err
			}
			if err := fresh.apply(job); err != nil {
				return err
			}
			opt.Remark = func(words string) { fmt.Fprintf(a.stderr, "%s\n", words) }
			// The folder comes first: a search for nothing would be a pity.
			folder, err := newFolder(out, force)
			if err != nil {
				return err
			}
			defer folder.Abort()
			held, err := borrow(store, job)
			if err != nil {
				return err
			}
			defer held.close()
			bar := newProgress(a.stderr)
			rec, err := held.lay(cmd.Context(), job, settings, bar.update)
			bar.done()
			if err != nil {
				return layFailure(err)
			}
			if err := run.Write(folder, rec, opt); err != nil {
				return cannot(err)
			}
			if err := held.commit(folder, rec, out); err != nil {
				return cannot(err)
			}
			a.told(held, rec, store, out)
			if cmd.Context().Err() != nil {
				fmt.Fprintf(a.stderr, "stopped early: the best layouts found so far are written to %s\n", out)
			}
			if err := a.summary(rec, out, asJSON); err != nil {
				return err
			}
			return missing(rec, out)
		},
	}
	search.register(cmd)
	f := cmd.Flags()
	f.StringVarP(&out, "output", "o", "", "folder to write; it appears whole or not at all")
	cut.register(cmd)
	paper.register(cmd)
	fresh.register(cmd)
	remnantsFlag(cmd, &store)
	f.BoolVar(&force, "force", false, "replace an earlier run in the folder")
	f.BoolVar(&short, "allow-short", false, "where the stock runs short, lay what there is room for, whole kits first; the exit status is 1 all the same")
	f.BoolVar(&asJSON, "json", false, "print the result as JSON")
	_ = cmd.MarkFlagRequired("output")
	return cmd
}

// missing is an error that names the kits a plan leaves short, and what each
// lacks; nil where it leaves none.
func missing(rec *nest.Record, out string) error {
	if len(rec.Short) == 0 {
		return nil
	}
	lines := []string{fmt.Sprintf("the stock runs short; %s holds what there is room for", out)}
	for _, s := range rec.Short {
		var plies []string
		for _, m := range s.Missing {
			plies = append(plies, fmt.Sprintf("%s copy %d (%s)", m.Ply, m.Copy, m.Fabric))
		}
		lines = append(lines, fmt.Sprintf("%s, unit %d lacks %s", s.Part, s.Unit, strings.Join(plies, ", ")))
	}
	return cannot(errors.New(strings.Join(lines, "\n")))
}

// readJob reads a job, tells every remark on standard error, and fails where
// there are faults.
func (a *app) readJob(path string) (*shapes.Job, error) {
	job, problems := jobfile.Read(path)
	for _, p := range problems {
		if p.Severity != shapes.Fault {
			fmt.Fprintf(a.stderr, "%s: %s\n", p.Severity, p.Error())
		}
	}
	if err := problems.Err(); err != nil {
		n := len(problems.Faults())
		return nil, fmt.Errorf("%d %s in the job:\n%w", n, plural(n, "mistake", "mistakes"), err)
	}
	return job, nil
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// layFailure gives errors of laying their exit status.
func layFailure(err error) error {
	var no *plan.CannotLay
	if errors.As(err, &no) {
		return cannot(fmt.Errorf("the job cannot be laid:\n%w", err))
	}
	return cannot(err)
}
