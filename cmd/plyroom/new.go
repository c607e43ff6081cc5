package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/shapes/drawing"
	"plyroom/shapes/jobfile"
)

func (a *app) newCommand() *cobra.Command {
	var (
		flags drawingFlags
		out   string
		name  string
		force bool
	)
	cmd := &cobra.Command{
		Use:   "new FILE… -o JOB.yaml",
		Short: "Start a job from drawings: every outline a ply, to be filled in",
		Args:  cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if _, err := os.Stat(out); err == nil && !force {
				return fmt.Errorf("%s is there already; choose another name, or --force", out)
			}
			read, err := a.readDrawings(args, flags.opt)
			if err != nil {
				return err
			}
			sheets, err := sheetsFor(out, read, flags.opt)
			if err != nil {
				return err
			}
			if name == "" {
				name = strings.TrimSuffix(filepath.Base(args[0]), filepath.Ext(args[0]))
			}
			if err := export.WriteFile(out, func(w io.Writer) error { return jobfile.New(w, name, sheets) }); err != nil {
				return cannot(err)
			}
			n := 0
			for _, d := range read {
				n += len(d.Outlines)
			}
			fmt.Fprintf(a.stdout, "%s: %d %s; fill in fabrics, directions and rolls, then: plyroom nest %s -o OUT\n",
				out, n, plural(n, "ply", "plies"), out)
			return nil
		},
	}
	flags.register(cmd)
	f := cmd.Flags()
	f.StringVarP(&out, "output", "o", "", "job file to write")
	f.StringVar(&name, "job", "", "title of the job (default: the first drawing's name)")
	f.BoolVar(&force, "force", false, "replace an existing file")
	_ = cmd.MarkFlagRequired("output")
	return cmd
}

// sheetsFor names each drawing relative to the job file that will list it.
func sheetsFor(job string, read []*drawing.Drawing, opt drawing.Options) ([]jobfile.Sheet, error) {
	base, err := filepath.Abs(filepath.Dir(job))
	if err != nil {
		return nil, err
	}
	var out []jobfile.Sheet
	for _, d := range read {
		path, err := filepath.Abs(d.File)
		if err != nil {
			return nil, err
		}
		if rel, err := filepath.Rel(base, path); err == nil {
			path = rel
		}
		out = append(out, jobfile.Sheet{Path: filepath.ToSlash(path), Options: opt, Outlines: d.Outlines})
	}
	return out, nil
}
