package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/kitlist"
	"plyroom/export/run"
	"plyroom/export/summary"
	"plyroom/nest/kit"
	"plyroom/nest/recut"
	"plyroom/nest/trace"
)

func (a *app) kitsCommand() *cobra.Command {
	var (
		cut   cutFlags
		paper paperFlags
		shift shiftFlags
	)
	cmd := &cobra.Command{
		Use:   "kits OUT",
		Short: "Make the kit lists and labels of a finished run again, and tell the timetable",
		Long: `Make the kit lists, labels and trace of a finished run again from its record, and
tell when each kit or wet set must leave the cutting room and whether cutting
keeps up. Plies that were cut again since stand with their new roll and lot.

The timetable rests on the job's pace, working time and shift; the flags stand in
for the job's shift. All of it is estimated: the supplier's data sheet and the
shop's own trials override it.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			opt, err := cut.options(&paper)
			if err != nil {
				return err
			}
			rec, err := readRun(args[0])
			if err != nil {
				return err
			}
			changed, err := shift.over(cmd, rec.Laminating)
			if err != nil {
				return err
			}
			paths, err := run.Paths(rec, opt.Machine)
			if err != nil {
				return cannot(err)
			}
			again, recuts, err := cutAgain(args[0])
			if err != nil {
				return cannot(err)
			}
			kits, err := kit.BuildWith(rec, kit.Settings{Order: run.CutOrder(paths), Again: again})
			if err != nil {
				return cannot(err)
			}
			plan, err := run.NewSchedule(rec, kits, paths, changed)
			if err != nil {
				return cannot(err)
			}
			if plan == nil && changed != nil {
				return cannot(kit.ErrNoPace)
			}
			folder, err := export.NewPart(args[0], "kits")
			if err != nil {
				return cannot(err)
			}
			defer folder.Abort()
			if err := run.WriteKits(folder, "", rec, kits, plan, opt.Paper); err != nil {
				return cannot(err)
			}
			if err := folder.Commit(); err != nil {
				return cannot(err)
			}
			labels := filepath.Join(args[0], "labels.pdf")
			if err := export.WriteFile(labels, func(w io.Writer) error {
				remark, err := run.WriteLabels(w, kits, opt.Paper)
				if remark != "" {
					fmt.Fprintf(a.stderr, "labels: %s\n", remark)
				}
				return err
			}); err != nil {
				return cannot(err)
			}
			trail := trace.Of(rec, kits)
			if err := export.WriteFile(filepath.Join(args[0], "trace.json"), trail.Write); err != nil {
				return cannot(err)
			}
			if err := export.WriteFile(filepath.Join(args[0], "trace.csv"), summary.Trace(trail).WriteCSV); err != nil {
				return cannot(err)
			}
			if err := a.tellKits(kits, plan, args[0], labels); err != nil {
				return err
			}
			a.tellRecuts(recuts)
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&cut.machine, "machine", "", "YAML file with the cutter's profile; it decides the order off the table")
	paper.register(cmd)
	shift.register(cmd)
	return cmd
}

// tellKits prints the kits and their timetable.
func (a *app) tellKits(kits []kit.Kit, plan *kitlist.Schedule, out, labels string) error {
	short := 0
	for i := range kits {
		k := &kits[i]
		fmt.Fprintf(a.stdout, "%s: %d plies\n", k.Title(), k.Totals.Pieces)
		short += k.Totals.Short
	}
	if short > 0 {
		fmt.Fprintf(a.stderr, "%d %s short; the kit lists say which\n", short, plural(short, "ply is", "plies are"))
	}
	if plan != nil {
		if err := kitlist.Timetable(plan).WriteText(a.stdout, 0); err != nil {
			return cannot(err)
		}
		for _, words := range plan.Words() {
			fmt.Fprintln(a.stdout, words)
		}
	}
	fmt.Fprintln(a.stdout, kitlist.WalkWords(kits))
	fmt.Fprintf(a.stdout, "written to %s/kits, %s, trace.json and trace.csv\n", out, labels)
	return nil
}

// tellRecuts says which plies were cut again, and that the report does not know
// of them.
func (a *app) tellRecuts(recuts []recut.Entry) {
	if len(recuts) == 0 {
		return
	}
	for _, e := range recut.Counting(recuts) {
		fmt.Fprintf(a.stdout, "%s was cut again, as %s, from %s\n", e.Key(), e.Name(), placeWords(e.Cut))
	}
	fmt.Fprintln(a.stdout, "kit lists, labels and trace show what was cut again; report.html and the layouts show the run as it was laid")
}
