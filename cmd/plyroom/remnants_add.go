package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/nest"
	"plyroom/nest/remnant"
	"plyroom/shapes"
	"plyroom/shapes/drawing"
)

func (a *app) remnantsAddCommand() *cobra.Command {
	var (
		r                      remnant.Remnant
		size, outline, in, day string
		flags                  drawingFlags
	)
	cmd := &cobra.Command{
		Use:   "add DIR --fabric NAME (--size 1200x600 | --drawing FILE --outline NAME)",
		Short: "Put a piece of fabric into the store; the folder is made where there is none",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var err error
			if r.Cut, err = dayOf(day); err != nil {
				return err
			}
			if (size == "") == (in == "") {
				return errors.New("give the piece's --size, along the warp by across it, or its outline with --drawing")
			}
			if size != "" {
				r.Outline, err = parseSize(size)
			} else {
				r.Outline, err = drawnOutline(in, outline, flags.opt)
			}
			if err != nil {
				return err
			}
			s, err := remnant.Create(args[0])
			if err != nil {
				return err
			}
			got, err := s.Add(r)
			if err != nil {
				return err
			}
			length, width := got.Size()
			fmt.Fprintf(a.stdout, "%s: %s, %.0f × %.0f mm; write the name on the piece\n", got.ID, got.Fabric, length, width)
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&r.Fabric, "fabric", "", "fabric, as jobs name it")
	f.StringVar(&r.Roll, "roll", "", "roll it was cut from")
	f.StringVar(&r.Lot, "lot", "", "lot of the roll")
	f.StringVar(&r.Face, "face", remnant.FaceUp, "face that lies up: up or down")
	f.Float64Var(&r.Selvedge, "selvedge", 0, "width of selvedge still on both long edges, mm")
	f.StringVar(&r.Note, "note", "", "a remark")
	f.StringVar(&size, "size", "", "length along the warp by width, such as 1200x600 (mm) or 1.2m x 0.6m")
	f.StringVar(&in, "drawing", "", "DXF or SVG drawing of the piece, warp along x")
	f.StringVar(&outline, "outline", "", "name of the outline in the drawing, where it has several")
	dateFlag(cmd, &day)
	flags.register(cmd)
	_ = cmd.MarkFlagRequired("fabric")
	return cmd
}

// leastPiece is the shortest side of a piece worth keeping, mm: figures below it
// are metres or inches without their unit.
const leastPiece = 10

func parseSize(text string) (nest.Ring, error) {
	l, w, ok := strings.Cut(strings.NewReplacer("×", "x", "X", "x").Replace(text), "x")
	length, err1 := shapes.ParseLength(strings.TrimSpace(l), "mm")
	width, err2 := shapes.ParseLength(strings.TrimSpace(w), "mm")
	if !ok || err1 != nil || err2 != nil || !(length > 0) || !(width > 0) || math.IsInf(length*width, 0) {
		return nil, fmt.Errorf("--size %q: give length along the warp by width in mm, such as 1200x600, or with units, such as 1.2m x 0.6m", text)
	}
	if min(length, width) < leastPiece {
		return nil, fmt.Errorf("--size %q is %g by %g mm, too small to keep; a figure without a unit is mm, metres are written 1.2m x 0.6m", text, length, width)
	}
	return remnant.Rectangle(length, width), nil
}

// drawnOutline reads one outline of a drawing.
func drawnOutline(path, name string, opt drawing.Options) (nest.Ring, error) {
	d, err := drawing.Read(path, opt)
	if d != nil {
		if e := d.Problems.Err(); e != nil {
			return nil, e
		}
	}
	if err != nil {
		return nil, err
	}
	var known []string
	for _, o := range d.Outlines {
		known = append(known, strconv.Quote(o.Name))
		if o.Name != name && (name != "" || len(d.Outlines) > 1) {
			continue
		}
		if len(o.Holes) > 0 {
			return nil, fmt.Errorf("%s: outline %q has cut-outs; draw the piece without what they took away", path, o.Name)
		}
		ring := make(nest.Ring, len(o.Exterior))
		for i, p := range o.Exterior {
			ring[i] = nest.Point(p)
		}
		return ring, nil
	}
	return nil, fmt.Errorf("%s: which outline is meant by --outline %q? There are %s", path, name, strings.Join(known, ", "))
}
