package report

import (
	"fmt"
	"strconv"

	"plyroom/export/markup"
	"plyroom/export/picture"
	"plyroom/nest"
)

// signs explains the signs all pictures share.
func signs(w *markup.Writer) {
	w.Start("ul", "class", "key signs", "aria-label", "Signs in the pictures")
	sign := func(label string, draw func()) {
		w.Start("li")
		w.Start("svg", "class", "sw wide", "viewBox", "0 0 40 16", "aria-hidden", "true")
		draw()
		w.End()
		w.Text(label)
		w.End()
	}
	outline := func(class string) func() {
		return func() {
			w.Empty("rect", "class", class+" keyply", "x", "2", "y", "2", "width", "36", "height", "12", "rx", "3")
		}
	}
	sign("as drawn, face up", outline("cut"))
	sign("turn over", outline("cut over"))
	sign("opposite hand", outline("cut opp"))
	sign("opposite hand, turn over", outline("cut over opp"))
	sign("warp, other fibres", func() {
		w.Empty("path", "class", "fib", "d", "M4 8H36M9 4.5L4 8l5 3.5M31 4.5L36 8l-5 3.5M15 3l10 10M25 3L15 13")
	})
	sign("the ply's 0°", func() {
		w.Empty("path", "class", "dat", "d", "M4 8H30M37 8a3 3 0 1 0-6 0a3 3 0 1 0 6 0")
	})
	sign("place in the order off the table", func() {
		w.Leaf("text", "#12", "x", "20", "y", "12.5", "class", "keyno")
	})
	sign("selvedge, ends", func() {
		w.Empty("rect", "class", "sel", "width", "20", "height", "16")
		w.Empty("rect", "class", "ends", "x", "20", "width", "20", "height", "16")
	})
	w.End()
}

// keyPatterns writes the textures of the keys, for records of this many parts.
func keyPatterns(w *markup.Writer, parts int) {
	var all []int
	for t := 0; t < parts && t < picture.Textures; t++ {
		all = append(all, t)
	}
	picture.Patterns(w, "k-", 9, all)
}

// partSign shows the texture of a part.
func partSign(w *markup.Writer, texture int) {
	w.Start("svg", "class", "sw", "viewBox", "0 0 26 14", "aria-hidden", "true")
	w.Empty("rect", "class", "cut", "fill", "url(#k-t"+strconv.Itoa(texture)+")", "x", "1", "y", "1", "width", "24", "height", "12")
	w.End()
}

// partKey names the textures of the parts on a layout.
func (p *page) partKey(w *markup.Writer, l *nest.Layout) {
	units := map[string]map[int]int{}
	for k := range l.Placed {
		pl := &l.Placed[k]
		if units[pl.Part] == nil {
			units[pl.Part] = map[int]int{}
		}
		units[pl.Part][pl.Unit]++
	}
	w.Start("ul", "class", "key", "aria-label", "Parts on layout "+l.ID)
	for _, part := range p.rec.Parts {
		if units[part.Part] == nil {
			continue
		}
		w.Start("li")
		partSign(w, p.textures[part.Part])
		w.Text(part.Part)
		list := ""
		for u := 1; u <= part.Units; u++ {
			if n := units[part.Part][u]; n > 0 {
				if list != "" {
					list += ", "
				}
				list += fmt.Sprintf("unit %d: %d", u, n)
			}
		}
		w.Leaf("small", " "+list)
		w.End()
	}
	w.End()
}
