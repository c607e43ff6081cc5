package run

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"plyroom/export"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/nest/kit"
)

// Paths plans the knife's work on every layout of a record, by layout ID.
func Paths(rec *nest.Record, m toolpath.Machine) (map[string]*toolpath.Path, error) {
	out := make(map[string]*toolpath.Path, len(rec.Layouts))
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		p, err := toolpath.Plan(rec, l, m)
		if err != nil {
			return nil, err
		}
		out[l.ID] = p
	}
	return out, nil
}

// CutOrder is the order in which plies come off the table when the knife
// follows the paths, upper layers first.
func CutOrder(paths map[string]*toolpath.Path) kit.CutOrder {
	return func(l *nest.Layout) []int {
		p := paths[l.ID]
		if p == nil {
			return kit.AlongRoll(l)
		}
		number := make([]int, len(l.Placed))
		for _, c := range p.Cuts {
			for _, i := range c.Plies {
				if c.Ply > 0 {
					number[i] = c.Ply
				}
			}
		}
		idx := make([]int, len(l.Placed))
		for i := range idx {
			idx[i] = i
		}
		slices.SortStableFunc(idx, func(a, b int) int {
			if number[a] != number[b] {
				return number[a] - number[b]
			}
			return l.Placed[b].Layer - l.Placed[a].Layer
		})
		return idx
	}
}

// folder is where files go: an export.Folder, or a part of one.
type folder interface {
	Create(name string) (io.WriteCloser, error)
}

// WriteCut writes the cut files of one path. A machine that takes the fabric
// in several windows, and whose profile does not say how it advances, gets a
// file per window in the formats that drive it.
func WriteCut(dir folder, prefix string, p *toolpath.Path, formats []Format) error {
	base := prefix + Base(p)
	for _, f := range formats {
		if f.Moves && p.Advances() && len(p.Machine.Advance) == 0 {
			for w := range p.Windows {
				if err := create(dir, fmt.Sprintf("%s.window%d%s", base, w+1, f.Ending), func(out io.Writer) error {
					return f.write(out, p.OnlyWindow(w))
				}); err != nil {
					return err
				}
			}
			continue
		}
		if err := create(dir, base+f.Ending, func(out io.Writer) error { return f.write(out, p) }); err != nil {
			return err
		}
	}
	return nil
}

// Base is the name of a layout's cut files without ending: layout and fabrics.
// The layout's ID keeps names apart.
func Base(p *toolpath.Path) string {
	words := []string{p.Head.Layout}
	for _, l := range p.Head.Layers {
		words = append(words, l.Fabric)
	}
	return fileName(words...)
}

// fileName joins words to a file name, hyphens for spaces.
func fileName(words ...string) string {
	return export.SafeFileName(strings.Join(strings.Fields(strings.Join(words, " ")), "-"))
}

// create writes one file of a folder and names it in errors.
func create(dir folder, name string, write func(io.Writer) error) error {
	w, err := dir.Create(name)
	if err != nil {
		return err
	}
	if err := write(w); err != nil {
		w.Close()
		return fmt.Errorf("%s: %w", name, err)
	}
	return w.Close()
}
