package report

import (
	"fmt"
	"math"
	"strconv"

	"plyroom/export/markup"
	"plyroom/export/picture"
	"plyroom/nest"
)

// Layouts are printed across the sheet, two on one where they are short enough.
// Paper is planned for the narrower and the lower of A4 and Letter on their
// sides: what is left between the margins, mm, and of the height what is left
// for one of two pictures below its figures.
const (
	paperWidth   = 255.0
	paperHeight  = 57.0
	coarsest     = 26.0 // a scale of 1:26 still shows a name
	finest       = 9.0  // more than 1:9 only takes paper,
	finestLarge  = 12.0 // and so does more than 1:12 where writing is large
	stripOverlap = 0.02 // of a strip's length, shown again in its neighbour
	stripGap     = 1.5  // mm
)

// A cut says how a picture is put on paper: into how many strips one below the
// other, each how wide as a share of the sheet.
type cut struct {
	n    int
	wide float64
}

// cutFor puts a picture of a size (mm) and a unit of writing on paper in as few
// strips as show it no coarser than coarsest, as large as the height for one of
// two pictures allows, but with the unit no larger than a millimetre where that
// needs no coarser scale than finestLarge.
func cutFor(length, width, unit float64) cut {
	n := 1
	for stripLength(length, n) > coarsest*paperWidth {
		n++
	}
	across := paperWidth / stripLength(length, n)
	scale := min(across, max(paperHeight/width, 1/coarsest), 1/min(max(unit, finest), finestLarge))
	return cut{n, scale / across}
}

// stripLength is the length of each of n strips, overlaps included, mm.
func stripLength(length float64, n int) float64 {
	if n == 1 {
		return length
	}
	return length / float64(n) * (1 + 2*stripOverlap)
}

// strips are the windows through which paper shows the picture, unzoomed, in
// pieces one below the other; of a spread the lowest layer. The script fills them when the page is printed,
// because a browser builds a copy of all that is used, shown or not; without
// the script paper shows the picture proper.
func strips(w *markup.Writer, d *picture.Drawing, i int, l *nest.Layout) {
	x, y, bw, bh := d.Box()
	layers := d.Layers()
	c := cutFor(bw, bh, d.Unit())
	step, wide := bw/float64(c.n), stripLength(bw, c.n)
	id := "d" + strconv.Itoa(i)
	w.Start("div", "class", "strips", "aria-hidden", "true")
	w.Start("div", "class", "sheet")
	if len(layers) > 1 {
		w.Leaf("p", upperWords(layers), "class", "striplayer")
	}
	for k := 0; k < c.n; k++ {
		// The first and the last strip end where the picture does.
		from := math.Min(math.Max(x, x+float64((float64(k)-stripOverlap)*step)), x+bw-wide)
		w.Start("svg", "class", "strip", "viewBox", mm(from)+" "+mm(y)+" "+mm(wide)+" "+mm(bh), "width", mm(100*c.wide)+"%",
			"data-use", id+"-ground "+id+"-plies"+strconv.Itoa(layers[0]))
		w.End()
	}
	w.End()
	w.End()
}

// upperWords says what paper does not show of a spread: its layers are cut along
// the same lines.
func upperWords(layers []int) string {
	upper := "Layer " + strconv.Itoa(layers[1])
	if len(layers) > 2 {
		upper = fmt.Sprintf("Layers %d to %d", layers[1], layers[len(layers)-1])
	}
	return fmt.Sprintf("Layer %d is shown. %s: the same lines and numbers; the list off the table, kits/cutting-room.pdf, names those plies.", layers[0], upper)
}

func mm(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
