package picture

import (
	"math"
	"strconv"

	"plyroom/export/markup"
)

// Ground writes the fabric the plies lie on: roll, selvedges, ends, flaws and
// a ruler in metres.
func (d *Drawing) Ground(w *markup.Writer) {
	l, u := d.l, d.unit
	lo, hi := l.Usable[0], l.Usable[1]
	d.roll(w)
	d.rect(w, "fab", "", 0, 0, l.Length, l.Width)
	if lo[1] > 0 {
		d.rect(w, "sel", "selvedge", 0, 0, l.Length, lo[1])
	}
	if hi[1] < l.Width {
		d.rect(w, "sel", "selvedge", 0, hi[1], l.Length, l.Width)
	}
	if lo[0] > 0 {
		d.rect(w, "ends", "end allowance", 0, lo[1], lo[0], hi[1])
	}
	if hi[0] < l.Length {
		d.rect(w, "ends", "end allowance", hi[0], lo[1], l.Length, hi[1])
	}
	d.rect(w, "scr", "not used by any ply", lo[0], lo[1], hi[0], hi[1], "fill", "url(#"+d.opt.Prefix+"scrap)")
	for _, f := range l.Flaws {
		from, to := math.Max(f.From, 0), math.Min(f.To, l.Length)
		if to <= from {
			continue
		}
		d.rect(w, "flw", "flaw, not used", from, 0, to, l.Width, "fill", "url(#"+d.opt.Prefix+"flaw)")
		x, y := (from+to)/2, l.Width/2
		w.Leaf("text", "FLAW", "class", "say bad", "x", num(x), "y", num(y+u), "font-size", num(2.8*u),
			"transform", "rotate(-90 "+num(x)+" "+num(y)+")")
	}
	d.rect(w, "use", "", lo[0], lo[1], hi[0], hi[1])
	d.ruler(w)
}

// rect writes a rectangle given in layout coordinates.
func (d *Drawing) rect(w *markup.Writer, class, title string, x0, y0, x1, y1 float64, attrs ...string) {
	all := append([]string{"class", class, "x", num(x0), "y", num(d.l.Width - y1),
		"width", num(x1 - x0), "height", num(y1 - y0)}, attrs...)
	w.Start("rect", all...)
	if title != "" {
		w.Leaf("title", title)
	}
	w.End()
}

// roll draws the roll the fabric comes off, behind its far end, and the
// direction of the warp above it.
func (d *Drawing) roll(w *markup.Writer) {
	u, l := d.unit, d.l
	w.Start("g", "class", "roll")
	w.Leaf("title", "the roll")
	w.Empty("rect", "x", num(l.Length+float64(1.4*u)), "y", num(-1.2*u), "width", num(4*u), "height", num(l.Width+float64(2.4*u)), "rx", num(2*u))
	for _, k := range []float64{2.4, 3.4, 4.4} {
		x := num(l.Length + float64(k*u))
		w.Empty("path", "d", "M"+x+" "+num(-0.6*u)+"V"+num(l.Width+float64(0.6*u)))
	}
	w.End()
	x, _, wide, _ := d.Box()
	d.warp(w, 0, x+wide)
	for x := 250 * u; x < l.Length-float64(100*u); x += float64(250 * u) {
		d.warp(w, x, 0)
	}
}

// warp writes the arrow along the warp, from x on: before limit, with as many
// of its words as have room there. No limit leaves out where the arrow leads.
func (d *Drawing) warp(w *markup.Writer, x, limit float64) {
	const size = 2.7
	u := d.unit
	y := -2.7 * u
	say := func(s string, x float64) {
		w.Leaf("text", s, "class", "say left", "x", num(x), "y", num(y+float64(0.95*u)), "font-size", num(size*u))
	}
	head, whither := float64(sayWidth("WARP")*size*u)+2*u, float64(sayWidth("to the roll")*size*u)+float64(1.5*u)
	tail, tip := x+head, x+float64(21*u)
	if limit > 0 {
		switch room := limit - x - u; {
		case room >= float64(15*u)+whither:
			tip = x + math.Min(21*u, room-whither)
			say("to the roll", tip+float64(1.5*u))
		case room >= 13*u:
			tip = x + math.Min(21*u, room)
		default:
			tail, tip = x, limit-u
		}
	}
	if tail > x {
		say("WARP", x)
	}
	w.Empty("path", "class", "way", "d", "M"+num(tail)+" "+num(y)+"H"+num(tip)+"m-"+num(1.5*u)+"-"+num(0.9*u)+"l"+num(1.5*u)+" "+num(0.9*u)+"-"+num(1.5*u)+" "+num(0.9*u))
}

// sayWidth estimates the width of a word on the ground, which is bold and a
// little spaced, in font sizes.
func sayWidth(s string) float64 { return textWidth(s) + float64(0.04*float64(len(s))) }

// rulerLabels is the most labels a ruler has.
const rulerLabels = 24

// rulerStep is how far apart the labels of a ruler stand, mm: whole metres.
func rulerStep(length float64) float64 {
	for _, step := range []float64{1e3, 2e3, 5e3, 1e4, 2e4, 5e4} {
		if length/step < rulerLabels {
			return step
		}
	}
	return 1e5
}

// ruler writes metres along the lower edge. The full length at the end comes
// first: labels and ticks that would run into it are left out.
func (d *Drawing) ruler(w *markup.Writer) {
	u, l := d.unit, d.l
	y := l.Width + float64(1.6*u)
	path := "M0 " + num(y) + "H" + num(l.Length)
	const size = 2.5
	label := rulerStep(l.Length)
	full := strconv.FormatFloat(l.Length/1000, 'f', 3, 64) + " m"
	end, class, free := l.Length-float64(0.6*u), "say right", l.Length-float64(0.6*u)-float64(sayWidth(full)*size*u)
	if x, _, _, _ := d.Box(); free < x {
		// Shorter than its label: that begins where the picture does.
		end, class, free = x, "say left", x
	}
	say := func(class, s string, x float64) {
		w.Leaf("text", s, "class", class, "x", num(x), "y", num(y+float64(3.4*u)), "font-size", num(size*u))
	}
	for k := 0; k <= 10*rulerLabels; k++ {
		x := float64(k) * label / 10
		if !(x <= l.Length) {
			break
		}
		long := 0.7
		if k%10 == 0 {
			long = 1.6
		}
		if x > 0 && l.Length-x < 0.8*u {
			break
		}
		path += "M" + num(x) + " " + num(y) + "v" + num(long*u)
		if k%10 == 0 {
			s := strconv.Itoa(int(x / 1000))
			if x == 0 {
				s = "0 m"
			}
			if at := x + float64(0.6*u); at+float64((sayWidth(s)+1.8)*size*u) < free {
				say("say left", s, at)
			}
		}
	}
	path += "M" + num(l.Length) + " " + num(y) + "v" + num(1.6*u)
	say(class, full, end)
	w.Empty("path", "class", "rule", "d", path)
}
