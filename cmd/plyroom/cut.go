package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/run"
)

// cutFlags are the options of every command that writes cut files.
type cutFlags struct {
	formats []string
	machine string
}

func (c *cutFlags) register(cmd *cobra.Command) {
	var all []string
	for _, f := range run.Formats() {
		all = append(all, fmt.Sprintf("%s (%s)", f.Name, f.About))
	}
	cmd.Flags().StringSliceVar(&c.formats, "formats", run.Default, "cut file formats: "+strings.Join(all, ", "))
	cmd.Flags().StringVar(&c.machine, "machine", "", "YAML file with the cutter's profile")
}

// options reads what the flags name. The paper may be empty for A4.
func (c *cutFlags) options(paper string) (run.Options, error) {
	var o run.Options
	var err error
	if o.Formats, err = run.Choose(c.formats); err != nil {
		return o, err
	}
	if o.Machine, err = run.ReadMachine(c.machine); err != nil {
		return o, err
	}
	o.Paper, err = run.Papers(paper)
	return o, err
}

func paperFlag(cmd *cobra.Command, paper *string) {
	cmd.Flags().StringVar(paper, "paper", "a4", "sheet of printed documents: a4 or letter")
}

func (a *app) cutCommand() *cobra.Command {
	var (
		cut    cutFlags
		layout string
		from   int
	)
	cmd := &cobra.Command{
		Use:   "cut OUT",
		Short: "Make the cut files of a finished run again, for another machine or from a ply on",
		Long: `Make the cut files of a finished run again from its record.

With --layout and --from, the cut files of one layout that begin at a ply, by
its number in the cutting order: for going on after an interruption.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if from != 0 && layout == "" {
				return fmt.Errorf("--from needs --layout: say which layout is to go on")
			}
			if from < 0 {
				return fmt.Errorf("--from %d: plies are numbered from 1", from)
			}
			opt, err := cut.options("")
			if err != nil {
				return err
			}
			rec, err := readRun(args[0])
			if err != nil {
				return err
			}
			paths, err := run.Paths(rec, opt.Machine)
			if err != nil {
				return cannot(err)
			}
			if layout != "" && paths[layout] == nil {
				var known []string
				for _, l := range rec.Layouts {
					known = append(known, l.ID)
				}
				return fmt.Errorf("the run has no layout %q; it has %s", layout, strings.Join(known, ", "))
			}
			part := "cut"
			if layout != "" {
				part = "cut-" + layout
			}
			if from > 0 {
				part += fmt.Sprintf("-from-%d", from)
				if paths[layout], err = paths[layout].FromPly(from); err != nil {
					return err
				}
			}
			folder, err := export.NewPart(args[0], part)
			if err != nil {
				return cannot(err)
			}
			defer folder.Abort()
			for _, l := range rec.Layouts {
				if layout == "" || l.ID == layout {
					p := paths[l.ID]
					if err := run.WriteCut(folder, "", p, opt.Formats); err != nil {
						return cannot(err)
					}
					for _, w := range p.Warnings {
						fmt.Fprintf(a.stderr, "%s: %s\n", l.ID, w)
					}
					fmt.Fprintf(a.stdout, "%s: %d plies, %d cuts, %.1f m cut, %.1f m knife up, about %.1f min\n",
						l.ID, p.Stats.Plies, p.Stats.Cuts, p.Stats.CutLength/1e3, p.Stats.Travel/1e3, p.Stats.Minutes)
				}
			}
			if err := folder.Commit(); err != nil {
				return cannot(err)
			}
			fmt.Fprintf(a.stdout, "written to %s/%s\n", args[0], part)
			return nil
		},
	}
	cut.register(cmd)
	cmd.Flags().StringVar(&layout, "layout", "", "only this layout, such as L2")
	cmd.Flags().IntVar(&from, "from", 0, "begin at this ply of the cutting order")
	return cmd
}
