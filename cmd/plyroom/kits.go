package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/run"
	"plyroom/nest/kit"
)

func (a *app) kitsCommand() *cobra.Command {
	var (
		cut   cutFlags
		paper string
	)
	cmd := &cobra.Command{
		Use:   "kits OUT",
		Short: "Make the kit lists and labels of a finished run again",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			opt, err := cut.options(paper)
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
			kits, err := kit.BuildWith(rec, kit.Settings{Order: run.CutOrder(paths)})
			if err != nil {
				return cannot(err)
			}
			folder, err := export.NewPart(args[0], "kits")
			if err != nil {
				return cannot(err)
			}
			defer folder.Abort()
			if err := run.WriteKits(folder, "", rec, kits, opt.Paper); err != nil {
				return cannot(err)
			}
			if err := folder.Commit(); err != nil {
				return cannot(err)
			}
			labels := filepath.Join(args[0], "labels.pdf")
			if err := export.WriteFile(labels, func(w io.Writer) error { return run.WriteLabels(w, kits, opt.Paper) }); err != nil {
				return cannot(err)
			}
			for i := range kits {
				k := &kits[i]
				fmt.Fprintf(a.stdout, "%s: %d plies\n", k.Title(), k.Totals.Pieces)
			}
			fmt.Fprintf(a.stdout, "written to %s/kits and %s\n", args[0], labels)
			return nil
		},
	}
	cmd.Flags().StringVar(&cut.machine, "machine", "", "YAML file with the cutter's profile; it decides the order off the table")
	paperFlag(cmd, &paper)
	return cmd
}
