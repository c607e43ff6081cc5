package paper

import "strings"

// Align is where text stands in its width.
type Align int

// Alignments.
const (
	Left Align = iota
	Centre
	Right
)

// A Style is how text looks.
type Style struct {
	// Pt is the type size; text may shrink down to Min to fit (0: not at all).
	Pt, Min float64
	Bold    bool
	Align   Align
	// Grey is 0 black to 1 white.
	Grey float64
}

// mmPerPt is one point in millimetres.
const mmPerPt = 25.4 / 72

// CapHeight is how high capitals of a type size stand, mm. The fonts' capitals
// are 0.725 of the size.
func CapHeight(pt float64) float64 { return 0.725 * pt * mmPerPt }

// LineHeight is the usual distance of two lines of a type size, mm.
func LineHeight(pt float64) float64 { return 1.25 * pt * mmPerPt }

func (d *Doc) font(st Style, pt float64) {
	weight := ""
	if st.Bold {
		weight = "B"
	}
	d.pdf.SetFont(family, weight, pt)
	g := int(float64(st.Grey*255) + 0.5)
	d.pdf.SetTextColor(g, g, g)
}

// Width is how wide text is in a style at its full size, mm.
func (d *Doc) Width(s string, st Style) float64 {
	s, _ = Printable(s)
	d.font(st, st.Pt)
	return d.pdf.GetStringWidth(s)
}

// Text prints one line with its baseline at y, and returns the width it took.
// Where w is above 0 the line is kept to it: first by smaller type, then by
// leaving out the middle of what is too long, so that both ends of a name
// stay.
func (d *Doc) Text(x, y, w float64, s string, st Style) float64 {
	s = d.clean(s)
	if s == "" {
		return 0
	}
	pt := st.Pt
	d.font(st, pt)
	width := d.pdf.GetStringWidth(s)
	if w > 0 && width > w {
		if st.Min > 0 && st.Min < pt {
			pt = max(st.Min, pt*w/width*0.999)
			d.font(st, pt)
			width = d.pdf.GetStringWidth(s)
		}
		if width > w {
			s = d.shorten(s, w)
			width = d.pdf.GetStringWidth(s)
		}
	}
	switch st.Align {
	case Right:
		x += w - width
	case Centre:
		x += (w - width) / 2
	}
	if s != "" {
		d.pdf.Text(x, y, s)
	}
	return width
}

// Fit is s with its middle left out where it is wider than w at the style's
// smallest size, mm. It lets a name give way in a line of which the rest must
// stay.
func (d *Doc) Fit(s string, w float64, st Style) string {
	printed, _ := Printable(s)
	pt := st.Pt
	if st.Min > 0 {
		pt = min(pt, st.Min)
	}
	d.font(st, pt)
	if d.pdf.GetStringWidth(printed) <= w {
		return s
	}
	if short := d.shorten(printed, w); short != "" {
		return short
	}
	return "…"
}

// shorten leaves out the middle of a text until it fits in the current font.
func (d *Doc) shorten(s string, w float64) string {
	r := []rune(s)
	lo, hi := 0, len(r) // kept: lo fits, hi does not
	cut := func(n int) string {
		head := (n + 1) / 2
		return strings.TrimRight(string(r[:head]), " ") + "…" + strings.TrimLeft(string(r[len(r)-(n-head):]), " ")
	}
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if d.pdf.GetStringWidth(cut(mid)) <= w {
			lo = mid
		} else {
			hi = mid
		}
	}
	if s = cut(lo); d.pdf.GetStringWidth(s) > w {
		return ""
	}
	return s
}

// Lines breaks text into lines of at most w, at spaces where there are any.
func (d *Doc) Lines(s string, w float64, st Style) []string {
	s = d.clean(s)
	d.font(st, st.Pt)
	var out []string
	line := ""
	for _, word := range strings.Fields(s) {
		try := word
		if line != "" {
			try = line + " " + word
		}
		if d.pdf.GetStringWidth(try) <= w {
			line = try
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		for line = word; d.pdf.GetStringWidth(line) > w; {
			r := []rune(line)
			n := len(r) - 1
			for n > 1 && d.pdf.GetStringWidth(string(r[:n])) > w {
				n--
			}
			if n < 1 {
				break
			}
			out = append(out, string(r[:n]))
			line = string(r[n:])
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// Paragraph prints text in lines from the baseline y down, and returns the
// baseline below the last one.
func (d *Doc) Paragraph(x, y, w float64, s string, st Style) float64 {
	for _, l := range d.Lines(s, w, st) {
		d.Text(x, y, w, l, st)
		y += LineHeight(st.Pt)
	}
	return y
}
