package run

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"plyroom/export/dxf"
	"plyroom/export/gcode"
	"plyroom/export/hpgl"
	"plyroom/export/svg"
	"plyroom/export/toolpath"
)

// A Format is one kind of cut file.
type Format struct {
	// Name is how the user asks for it.
	Name string
	// Ending of file names, with the dot.
	Ending string
	// Describes it in a few words.
	About string
	// Moves says that the file drives the machine move by move, so that it
	// must be divided where the fabric has to be drawn on.
	Moves bool
	write func(io.Writer, *toolpath.Path) error
}

// Formats lists every format. Default is written where nothing is said.
func Formats() []Format {
	return []Format{
		{"dxf", ".dxf", "DXF R12", false, dxf.Write},
		{"dxf2010", ".2010.dxf", "DXF R2010", false, dxf.Write2010},
		{"svg", ".svg", "SVG in millimetres", false, svg.Write},
		{"hpgl", ".plt", "HP-GL", true, hpgl.Write},
		{"hpgl2", ".hpgl2", "HP-GL/2", true, hpgl.Write2},
		{"rs274", ".ngc", "RS-274", true, gcode.Write},
	}
}

// Default names the formats written where nothing is said.
var Default = []string{"dxf", "svg", "hpgl", "rs274"}

// Choose finds formats by name, each once, in the order of Formats.
func Choose(names []string) ([]Format, error) {
	var out []Format
	all := Formats()
	for _, n := range names {
		n = strings.ToLower(strings.TrimSpace(n))
		if n == "" {
			continue
		}
		if !slices.ContainsFunc(all, func(f Format) bool { return f.Name == n }) {
			var known []string
			for _, f := range all {
				known = append(known, f.Name)
			}
			return nil, fmt.Errorf("unknown cut file format %q; known are %s", n, strings.Join(known, ", "))
		}
	}
	for _, f := range all {
		if slices.ContainsFunc(names, func(n string) bool { return strings.ToLower(strings.TrimSpace(n)) == f.Name }) {
			out = append(out, f)
		}
	}
	return out, nil
}
