package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/run"
	"plyroom/export/toolpath"
	"plyroom/nest"
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
	cmd.Flags().StringVar(&c.machine, "machine", "", "YAML file with the cutter's profile; see plyroom cut --profile-example")
}

// options reads what the flags name.
func (c *cutFlags) options(paper *paperFlags) (run.Options, error) {
	var o run.Options
	var err error
	if o.Formats, err = run.Choose(c.formats); err != nil {
		return o, err
	}
	if o.Machine, err = run.ReadMachine(c.machine); err != nil {
		return o, err
	}
	o.Paper, err = paper.paper()
	return o, err
}

func (a *app) cutCommand() *cobra.Command {
	var (
		cut     cutFlags
		again   restart
		example bool
	)
	cmd := &cobra.Command{
		Use:   "cut OUT",
		Short: "Make the cut files of a finished run again, for another machine or from a ply on",
		Long: `Make the cut files of a finished run again from its record.

With --layout and --from N, the cut files of one layout for going on after an
interruption when plies 1 to N-1 are free and ply N is not. Plies are numbered
in the order they come free, as in the cut files and the walk off the table.
The files hold every cut of plies N and up and none of a ply below N. Cut-outs
and slits of plies still on the table that were made before the interruption
are cut again; the terminal names them. --from-cut K goes on at exactly cut K
instead: every cut before it counts as made.

--profile-example prints a cutter's profile for --machine: every field at its
default, with what it means. It needs no run:

    plyroom cut --profile-example > cutter.yaml`,
		Args: func(cmd *cobra.Command, args []string) error {
			if example {
				return cobra.NoArgs(cmd, args)
			}
			return cobra.ExactArgs(1)(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if example {
				_, err := io.WriteString(a.stdout, toolpath.SampleProfile())
				return err
			}
			if err := again.check(cmd); err != nil {
				return err
			}
			opt, err := cut.options(&paperFlags{})
			if err != nil {
				return err
			}
			rec, err := readRun(args[0])
			if err != nil {
				return err
			}
			all, err := run.Paths(rec, opt.Machine)
			if err != nil {
				return cannot(err)
			}
			paths, part, err := again.choose(rec, all)
			if err != nil {
				return err
			}
			folder, err := export.NewPart(args[0], part)
			if err != nil {
				return cannot(err)
			}
			defer folder.Abort()
			if err := run.WriteCuts(folder, "", paths, opt.Formats); err != nil {
				return cannot(err)
			}
			if err := folder.Commit(); err != nil {
				return cannot(err)
			}
			for _, p := range paths {
				a.tellPath(p)
			}
			fmt.Fprintf(a.stdout, "written to %s/%s\n", args[0], part)
			return nil
		},
	}
	cut.register(cmd)
	again.register(cmd)
	cmd.Flags().BoolVar(&example, "profile-example", false, "print a commented profile for --machine with every field, and stop")
	return cmd
}

// tellPath prints what the knife does on a layout, and what to mind.
func (a *app) tellPath(p *toolpath.Path) {
	id := p.Head.Layout
	for _, w := range p.Warnings {
		fmt.Fprintf(a.stderr, "%s: %s\n", id, w)
	}
	if left := p.Left(); p.Restart != "" && len(left) > 0 {
		first, last := left[0], left[len(left)-1]
		fmt.Fprintf(a.stdout, "%s: plies %d (%s) to %d (%s), no cut of a ply before them\n",
			id, first, p.Plies[first-1].Label, last, p.Plies[last-1].Label)
	}
	fmt.Fprintf(a.stdout, "%s: %d plies, %d cuts, %.1f m cut, %.1f m knife up, about %.1f min\n",
		id, p.Stats.Plies, p.Stats.Cuts, p.Stats.CutLength/1e3, p.Stats.Travel/1e3, p.Stats.Minutes)
}

// A restart says which layout is cut, and from where on.
type restart struct {
	layout   string
	ply, cut int
}

func (r *restart) register(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&r.layout, "layout", "", "only this layout, such as L2")
	f.IntVar(&r.ply, "from", 0, "go on when the plies before this one, in the order they come free, are off")
	f.IntVar(&r.cut, "from-cut", 0, "go on at exactly this cut")
	cmd.MarkFlagsMutuallyExclusive("from", "from-cut")
}

func (r *restart) check(cmd *cobra.Command) error {
	for _, f := range []struct {
		name string
		n    int
		what string
	}{{"from", r.ply, "plies"}, {"from-cut", r.cut, "cuts"}} {
		if !cmd.Flags().Changed(f.name) {
			continue
		}
		if r.layout == "" {
			return fmt.Errorf("--%s needs --layout: say which layout is to go on", f.name)
		}
		if f.n < 1 {
			return fmt.Errorf("--%s %d: %s are numbered from 1", f.name, f.n, f.what)
		}
	}
	return nil
}

// choose gives the paths asked for and the name of the folder for them.
func (r *restart) choose(rec *nest.Record, all map[string]*toolpath.Path) ([]*toolpath.Path, string, error) {
	if r.layout == "" {
		return run.InOrder(rec, all), "cut", nil
	}
	p := all[r.layout]
	if p == nil {
		var known []string
		for _, l := range rec.Layouts {
			known = append(known, l.ID)
		}
		return nil, "", fmt.Errorf("the run has no layout %q; it has %s", r.layout, strings.Join(known, ", "))
	}
	var err error
	switch {
	case r.ply > 0:
		p, err = p.FromPly(r.ply)
	case r.cut > 0:
		p, err = p.FromCut(r.cut)
	}
	if err != nil {
		return nil, "", err
	}
	part := "cut-" + r.layout
	if p.Restart != "" {
		part += "-" + p.Restart
	}
	return []*toolpath.Path{p}, part, nil
}
