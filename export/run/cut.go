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
	"plyroom/nest/remnant"
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

// InOrder lists paths in the order of their layouts.
func InOrder(rec *nest.Record, paths map[string]*toolpath.Path) []*toolpath.Path {
	out := make([]*toolpath.Path, len(rec.Layouts))
	for i := range rec.Layouts {
		out[i] = paths[rec.Layouts[i].ID]
	}
	return out
}

// CutOrder is the order in which plies come off the table when the knife
// follows the paths, upper layers first.
func CutOrder(paths map[string]*toolpath.Path) kit.CutOrder {
	return func(l *nest.Layout) []int {
		p := paths[l.ID]
		if p == nil {
			return kit.AlongRoll(l)
		}
		order := make([]int, 0, len(l.Placed))
		for _, y := range p.Plies {
			from := len(order)
			order = append(order, y.Placed...)
			slices.SortStableFunc(order[from:], func(a, b int) int { return l.Placed[b].Layer - l.Placed[a].Layer })
		}
		return order
	}
}

// folder is where files go: an export.Folder, or a part of one.
type folder interface {
	Create(name string) (io.WriteCloser, error)
}

// ListName is the file that says which layout every cut file belongs to: not
// every format can.
const ListName = "layouts.txt"

// WriteCuts writes the cut files of paths, and a list of them in plain text.
func WriteCuts(dir folder, prefix string, paths []*toolpath.Path, formats []Format) error {
	var list strings.Builder
	for _, p := range paths {
		names, err := writeCut(dir, prefix, p, formats)
		if err != nil {
			return err
		}
		list.WriteString(entry(p, names))
	}
	return create(dir, prefix+ListName, func(w io.Writer) error {
		_, err := io.WriteString(w, list.String()+strings.Join(toolpath.Safety, "\n")+"\n")
		return err
	})
}

// writeCut writes the cut files of one path and returns their names. A machine
// that takes the fabric in several windows, and whose profile does not say how
// it advances, gets a file per window in the formats that drive it.
func writeCut(dir folder, prefix string, p *toolpath.Path, formats []Format) (names []string, err error) {
	write := func(f Format, name string, p *toolpath.Path) error {
		names = append(names, name)
		return create(dir, prefix+name, func(w io.Writer) error { return f.write(w, p) })
	}
	for _, f := range formats {
		if !f.Moves || !p.Advances() || len(p.Machine.Advance) > 0 {
			if err := write(f, Base(p)+f.Ending, p); err != nil {
				return nil, err
			}
			continue
		}
		for w := range p.Windows {
			part := p.OnlyWindow(w)
			if p.Restart != "" && len(part.Cuts) == 0 {
				continue
			}
			if err := write(f, fmt.Sprintf("%s.window%d%s", Base(p), w+1, f.Ending), part); err != nil {
				return nil, err
			}
		}
	}
	return names, nil
}

// entry is what the list of cut files says of one path.
func entry(p *toolpath.Path, names []string) string {
	var b strings.Builder
	for _, n := range names {
		b.WriteString(n + "\n")
	}
	for _, line := range p.Facts() {
		b.WriteString("    " + export.OneLine(line) + "\n")
	}
	for _, l := range p.Head.Layers {
		if l.Roll != "" && !remnant.IsID(l.Roll) {
			fmt.Fprintf(&b, "    starts: roll %s at %.3f m\n", export.OneLine(l.Roll), l.RollFrom/1e3)
		}
	}
	if len(p.Plies) == 1 {
		fmt.Fprintf(&b, "    ply: %s\n", export.OneLine(p.Plies[0].Label))
	}
	fmt.Fprintf(&b, "    cutting: about %.1f min, %.1f m knife down, %.1f m knife up\n", p.Stats.Minutes, p.Stats.CutLength/1e3, p.Stats.Travel/1e3)
	for _, line := range p.Warnings {
		b.WriteString("    warning: " + export.OneLine(line) + "\n")
	}
	return b.String() + "\n"
}

// Base is the name of a layout's cut files without ending: layout, restart
// where it is one, and fabrics. The layout's ID keeps names apart.
func Base(p *toolpath.Path) string {
	words := []string{p.Head.Layout}
	if p.Restart != "" {
		words = append(words, p.Restart)
	}
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
