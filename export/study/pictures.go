package study

import (
	"strconv"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest/study"
)

// mostPictures is how many cases are shown as pictures; more make a page no
// one can open.
const mostPictures = 60

// pictures shows the layouts of every case under the first seed, small and all
// at one scale.
func pictures(w *markup.Writer, t *study.Table) {
	var rows []*study.Row
	if t.Base != nil && t.Base.Seeds > 0 && len(t.Base.Pictures) > 0 {
		rows = append(rows, t.Base)
	}
	left := 0
	for i := range t.Rows {
		if t.Rows[i].Seeds == 0 || len(t.Rows[i].Pictures) == 0 {
			continue
		}
		if len(rows) == mostPictures {
			left++
			continue
		}
		rows = append(rows, &t.Rows[i])
	}
	if len(rows) == 0 {
		return
	}
	longest := 1
	for _, r := range rows {
		for _, p := range r.Pictures {
			longest = max(longest, p.Length)
		}
	}
	w.Start("section", "aria-labelledby", "pictures")
	w.Leaf("h2", "The layouts", "id", "pictures")
	w.Leaf("p", "First seed, all at one scale, the roll running to the right; "+tickText(float64(longest)/1000)+" m is the longest.", "class", "note")
	key(w, t.Parts)
	w.Start("div", "class", "small")
	for _, r := range rows {
		w.Start("figure", markup.If(r.Best, "class"), "best")
		w.Start("figcaption")
		w.Leaf("b", r.Words)
		w.Text(" " + fixed(r.Total.Metres.Mean, 2) + " m/set, " + fixed(r.Total.Yield.Mean*100, 1) + " % net")
		w.End()
		fabric := ""
		for _, p := range r.Pictures {
			if p.Fabric != fabric {
				fabric = p.Fabric
				w.Leaf("p", fabric, "class", "lab")
			}
			draw(w, p, longest)
		}
		w.End()
	}
	w.End()
	if left > 0 {
		w.Leaf("p", count(left, "more case is", "more cases are")+" not pictured.", "class", "note")
	}
	w.End()
	w.Line()
}

// key names the parts beside their fills.
func key(w *markup.Writer, parts []string) {
	if len(parts) == 0 {
		return
	}
	w.Start("ul", "class", "key", "aria-label", "Parts")
	for i, p := range parts {
		w.Start("li")
		w.Start("svg", "class", "sw", "viewBox", "0 0 26 14", "aria-hidden", "true")
		w.Empty("rect", "class", "ply f"+strconv.Itoa(i%fills), "x", "1", "y", "1", "width", "24", "height", "12")
		w.End()
		w.Text(p)
		w.End()
	}
	w.End()
}

// fills is how many fills the style sheet has for parts.
const fills = 8

// draw writes one layout. Coordinates are whole millimetres, so a path is
// digits alone; y grows upwards on the roll.
func draw(w *markup.Writer, p study.Picture, longest int) {
	pad := longest / 200
	w.Start("svg", "class", "layout", "viewBox", ints(-pad, -p.Width-pad, longest+2*pad, p.Width+2*pad), "role", "img",
		"aria-label", p.Fabric+", "+fixed(float64(p.Length)/1e3, 2)+" m, "+count(len(p.Plies), "ply", "plies"))
	w.Empty("rect", "class", "ground", "x", "0", "y", strconv.Itoa(-p.Width), "width", strconv.Itoa(p.Length), "height", strconv.Itoa(p.Width))
	for i, ring := range p.Plies {
		var d strings.Builder
		for k := 0; k+1 < len(ring); k += 2 {
			cmd := "L"
			if k == 0 {
				cmd = "M"
			}
			d.WriteString(cmd + strconv.Itoa(ring[k]) + " " + strconv.Itoa(-ring[k+1]))
		}
		d.WriteString("Z")
		part := p.Parts[i] % fills
		if part < 0 {
			part = 0
		}
		w.Empty("path", "class", "ply f"+strconv.Itoa(part), "d", d.String())
	}
	w.End()
}

func ints(v ...int) string {
	s := make([]string, len(v))
	for i, x := range v {
		s[i] = strconv.Itoa(x)
	}
	return strings.Join(s, " ")
}
