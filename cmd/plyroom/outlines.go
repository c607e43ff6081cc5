package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/table"
	"plyroom/shapes"
	"plyroom/shapes/drawing"
	"plyroom/shapes/geom"
)

// drawingFlags are the options of every command that reads drawings.
type drawingFlags struct {
	opt drawing.Options
}

func (d *drawingFlags) register(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&d.opt.Unit, "units", "", "unit of the drawing where the file does not state it: mm, cm, m, in or ft")
	f.Float64Var(&d.opt.PxPerInch, "px-per-inch", 0, "px per inch of an SVG drawing without physical units: 96, 90 or 72")
	f.Float64Var(&d.opt.Join, "join", 0, "distance within which ends of lines are one point, mm (default 0.02)")
	f.Float64Var(&d.opt.Gap, "close-gaps", 0, "widest gap between ends that is closed and reported, mm")
	f.BoolVar(&d.opt.PerLayer, "per-layer", false, "treat every layer as a drawing of its own")
}

func (a *app) outlinesCommand() *cobra.Command {
	var (
		flags   drawingFlags
		picture string
		force   bool
		asJSON  bool
	)
	cmd := &cobra.Command{
		Use:   "outlines FILE…",
		Short: "Show what was read from drawings, what is wrong with them, and where",
		Args:  cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if picture != "" && len(args) > 1 {
				return fmt.Errorf("--picture draws one drawing, and %d are given; draw them one at a time", len(args))
			}
			if picture != "" && !force {
				if _, err := os.Lstat(picture); err == nil {
					return fmt.Errorf("%s is there already; choose another name, or --force", picture)
				}
			}
			if picture != "" && sameFile(picture, args[0]) {
				return fmt.Errorf("--picture %s would replace the drawing itself; choose another name", picture)
			}
			var read []*drawing.Drawing
			faults := 0
			for _, path := range args {
				d, err := drawing.Read(path, flags.opt)
				if d == nil {
					if err == nil {
						err = fmt.Errorf("%s: nothing was read", path)
					}
					return err
				}
				if err != nil && d.Problems.Err() == nil {
					return err
				}
				faults += len(d.Problems.Faults())
				read = append(read, d)
			}
			if picture != "" {
				if err := export.WriteFile(picture, func(w io.Writer) error { return drawing.Picture(w, read[0]) }); err != nil {
					return cannot(err)
				}
			}
			show := a.showOutlines
			if asJSON {
				show = a.outlinesJSON
			}
			if err := show(read); err != nil {
				return cannot(err)
			}
			if picture != "" {
				to := a.stdout
				if asJSON {
					to = a.stderr
				}
				fmt.Fprintf(to, "drawn to %s\n", picture)
			}
			if faults > 0 {
				return fmt.Errorf("%d %s in the drawings", faults, plural(faults, "fault", "faults"))
			}
			return nil
		},
	}
	flags.register(cmd)
	cmd.Flags().StringVar(&picture, "picture", "", "draw the outlines to this SVG file, trouble spots circled")
	cmd.Flags().BoolVar(&force, "force", false, "replace an existing picture")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	return cmd
}

// sameFile reports whether two paths lead to one file.
func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

func (a *app) showOutlines(read []*drawing.Drawing) error {
	t := &table.Table{Columns: []table.Column{
		{Key: "file"}, {Key: "outline"},
		{Key: "size", Title: "size mm", Right: true}, {Key: "area", Title: "area m²", Right: true},
		{Key: "perimeter", Title: "perimeter m", Right: true},
		{Key: "cut-outs", Right: true}, {Key: "marks", Right: true}, {Key: "vertices", Right: true},
	}}
	for _, d := range read {
		for _, o := range d.Outlines {
			b := geom.Bound(o.Exterior)
			vertices := len(o.Exterior)
			for _, h := range o.Holes {
				vertices += len(h)
			}
			t.Add(table.Text(d.File), table.Text(o.Name),
				table.Text(fmt.Sprintf("%.1f × %.1f", b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])),
				table.Number(o.Area/1e6, 4), table.Number(o.Perimeter/1e3, 3),
				table.Int(len(o.Holes)), table.Int(len(o.Marks)), table.Int(vertices))
		}
	}
	if err := t.WriteText(a.stdout, 0); err != nil {
		return err
	}
	for _, d := range read {
		for _, p := range d.Problems {
			fmt.Fprintf(a.stdout, "%s: %s\n", p.Severity, p.Error())
		}
		for _, p := range d.PassedOver {
			fmt.Fprintf(a.stdout, "passed over: %s: %d × %s: %s\n", d.File, p.Count, p.Kind, p.Why)
		}
	}
	return nil
}

func (a *app) outlinesJSON(read []*drawing.Drawing) error {
	type problem struct {
		Severity string      `json:"severity"`
		Entity   string      `json:"entity,omitempty"`
		At       *[2]float64 `json:"at,omitempty"`
		Message  string      `json:"message"`
		Hint     string      `json:"hint,omitempty"`
	}
	type outline struct {
		Name      string     `json:"name"`
		Size      [2]float64 `json:"size_mm"`
		Area      float64    `json:"area_mm2"`
		Perimeter float64    `json:"perimeter_mm"`
		CutOuts   int        `json:"cut_outs"`
		Marks     int        `json:"marks"`
		Source    string     `json:"source"`
	}
	type file struct {
		File     string    `json:"file"`
		Outlines []outline `json:"outlines"`
		Problems []problem `json:"problems"`
	}
	out := []file{}
	for _, d := range read {
		f := file{File: d.File, Outlines: []outline{}, Problems: []problem{}}
		for _, o := range d.Outlines {
			b := geom.Bound(o.Exterior)
			f.Outlines = append(f.Outlines, outline{o.Name, [2]float64{b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]},
				o.Area, o.Perimeter, len(o.Holes), len(o.Marks), o.Source})
		}
		for _, p := range d.Problems {
			f.Problems = append(f.Problems, problem{p.Severity.String(), p.Entity, (*[2]float64)(p.At), p.Message, p.Hint})
		}
		out = append(out, f)
	}
	enc := json.NewEncoder(a.stdout)
	enc.SetIndent("", " ")
	return enc.Encode(out)
}

// readDrawings reads drawings for a new job; remarks go to standard error.
func (a *app) readDrawings(paths []string, opt drawing.Options) ([]*drawing.Drawing, error) {
	var out []*drawing.Drawing
	var faults shapes.Problems
	for _, path := range paths {
		d, err := drawing.Read(path, opt)
		if d == nil {
			return nil, err
		}
		for _, p := range d.Problems {
			if p.Severity == shapes.Fault {
				faults = append(faults, p)
			} else {
				fmt.Fprintf(a.stderr, "%s: %s\n", p.Severity, p.Error())
			}
		}
		if err != nil && d.Problems.Err() == nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, faults.Err()
}
