package drawing

import (
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// textAspect is the width of an average letter by its height, for guessing
// where a text's middle is.
const textAspect = 0.6

func (f *dxfFile) readText(it *dxfItem, gs groups) {
	if !it.need(gs, 10, 20) {
		return
	}
	w := &writing{height: gs.float(40, 0), text: plainText(f.text.decode(gs.text(1)))}
	if it.from.kind == "ATTRIB" {
		w.tag = f.text.decode(gs.text(2))
	}
	across, up := gs.int(72, 0), gs.int(73, gs.int(74, 0))
	w.at = gs.point(10)
	a := gs.float(50, 0) * math.Pi / 180
	wide := float64(len([]rune(w.text))) * textAspect * w.height
	c := orb.Point{wide / 2, w.height / 2}
	if (across != 0 || up != 0) && gs.has(11) {
		switch across {
		case 1, 2, 4:
			w.at = gs.point(11)
			c = orb.Point{[]float64{0, 0, -wide / 2, 0, 0}[across], []float64{w.height / 2, w.height / 2, 0, -w.height / 2}[up&3]}
			if across == 4 {
				c[1] = 0
			}
		case 3, 5:
			w.at, c = gs.point(10), mulPoint(sub(gs.point(11), gs.point(10)), 0.5)
			a = 0
		default:
			w.at = gs.point(11)
			c[1] = []float64{w.height / 2, w.height / 2, 0, -w.height / 2}[up&3]
		}
	}
	it.setText(w, c, a, it.plane(gs))
}

func (f *dxfFile) readMText(it *dxfItem, gs groups) {
	if !it.need(gs, 10, 20) {
		return
	}
	var all []byte
	for _, g := range gs {
		if g.code == 3 {
			all = append(all, g.text...)
		}
	}
	all = append(all, gs.text(1)...)
	w := &writing{height: gs.float(40, 0), text: plainMText(f.text.decode(all)), at: gs.point(10)}
	a := gs.float(50, 0) * math.Pi / 180
	if gs.has(11) {
		a = steady.Atan2(gs.float(21, 0), gs.float(11, 1))
	}
	lines := strings.Split(w.text, "\n")
	longest := 0
	for _, l := range lines {
		longest = max(longest, len([]rune(l)))
	}
	wide := float64(longest) * textAspect * w.height
	high := w.height * (1 + float64(1.6*float64(len(lines)-1)))
	at := max(gs.int(71, 1), 1) - 1
	c := orb.Point{wide / 2 * float64(1-at%3), -high / 2 * float64(1-at/3%3)}
	it.setText(w, c, a, identity)
}

func (it *dxfItem) setText(w *writing, centre orb.Point, angle float64, m affine) {
	w.centre = m.point(add(w.at, rotation(angle).vector(centre)))
	w.at = m.point(w.at)
	if w.text != "" {
		it.text = w
	} else {
		it.skip = "empty text"
	}
}
