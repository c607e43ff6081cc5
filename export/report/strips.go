package report

import (
	"math"
	"strconv"

	"plyroom/export/markup"
	"plyroom/export/picture"
	"plyroom/nest"
)

// Paper is planned for the narrower and the shorter of A4 and Letter: what is
// left between the margins, mm, less what stands above the pictures.
const (
	paperWidth   = 186.0
	paperHeight  = 178.0
	coarsest     = 22.0 // a scale of 1:22 still shows a name
	stripOverlap = 0.02
)

// stripCount is into how many strips a picture of a size (mm) is cut for
// paper: as many as make the plies largest while all strips fit one sheet, and
// more where that would leave names too small to read.
func stripCount(length, width float64) int {
	fit := int(math.Sqrt(paperHeight * length / (paperWidth * width)))
	need := int(math.Ceil(length / (coarsest * paperWidth)))
	return max(1, fit, need)
}

// strips shows the picture again, unzoomed, in pieces one below the other. They
// show on paper only, and are the drawing used once more, not copied.
func strips(w *markup.Writer, d *picture.Drawing, i int, l *nest.Layout) {
	x, y, bw, bh := d.Box()
	n := stripCount(bw, bh)
	step := bw / float64(n)
	id := "#d" + strconv.Itoa(i)
	w.Start("div", "class", "strips", "aria-hidden", "true")
	for _, layer := range d.Layers() {
		if len(l.Layers) > 1 {
			w.Leaf("p", "Layer "+strconv.Itoa(layer)+": "+layerFabric(l, layer), "class", "striplayer")
		}
		for k := 0; k < n; k++ {
			from, wide := x+float64(k)*step, step
			if n > 1 {
				from = math.Max(x, from-stripOverlap*step)
				wide = math.Min(x+bw, from+step*(1+2*stripOverlap)) - from
			}
			w.Start("svg", "class", "strip", "viewBox", mm(from)+" "+mm(y)+" "+mm(wide)+" "+mm(bh))
			w.Empty("use", "href", id+"-ground")
			w.Empty("use", "href", id+"-plies"+strconv.Itoa(layer))
			w.End()
		}
	}
	w.End()
}

func mm(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
