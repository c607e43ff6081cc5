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
	paperHeight  = 198.0
	coarsest     = 22.0 // a scale of 1:22 still shows a name
	finest       = 9.0  // more than 1:9 only takes paper,
	finestLarge  = 12.0 // and so does more than 1:12 where writing is large
	worthACut    = 1.25 // a further strip must make the picture larger by this
	stripOverlap = 0.02 // of a strip's length, shown again in its neighbour
	stripGap     = 1.5  // mm
)

// A cut says how a picture is put on paper: into how many strips one below the
// other, each how wide as a share of the sheet.
type cut struct {
	n    int
	wide float64
}

// cutFor chooses the cut that shows a picture of a size (mm) and a unit of
// writing largest on one sheet, but with the unit no larger than a millimetre
// where that needs no coarser scale than finestLarge. Where that would leave
// names too small to read, the strips fill the width and run over several
// sheets.
func cutFor(length, width, unit float64) cut {
	limit := 1 / min(max(unit, finest), finestLarge)
	best, scale := cut{1, 1}, 0.0
	for n := 1; n <= 12; n++ {
		across := paperWidth / stripLength(length, n)
		down := (paperHeight/float64(n) - stripGap) / width
		s := min(across, down, limit)
		if s > scale*worthACut {
			best, scale = cut{n, s / across}, s
		}
	}
	if scale < 1/coarsest {
		n := 1
		for stripLength(length, n) > coarsest*paperWidth {
			n++
		}
		return cut{n, 1}
	}
	return best
}

// stripLength is the length of each of n strips, overlaps included, mm.
func stripLength(length float64, n int) float64 {
	if n == 1 {
		return length
	}
	return length / float64(n) * (1 + 2*stripOverlap)
}

// strips are the windows through which paper shows the picture, unzoomed, in
// pieces one below the other. The script fills them when the page is printed,
// because a browser builds a copy of all that is used, shown or not; without
// the script paper shows the picture proper.
func strips(w *markup.Writer, d *picture.Drawing, i int, l *nest.Layout) {
	x, y, bw, bh := d.Box()
	layers := d.Layers()
	c := cutFor(bw, bh, d.Unit())
	step, wide := bw/float64(c.n), stripLength(bw, c.n)
	id := "d" + strconv.Itoa(i)
	w.Start("div", "class", "strips", "aria-hidden", "true")
	for _, layer := range layers {
		w.Start("div", "class", "sheet")
		if len(layers) > 1 {
			w.Leaf("p", "Layer "+strconv.Itoa(layer)+": "+layerFabric(l, layer), "class", "striplayer")
		}
		for k := 0; k < c.n; k++ {
			// The first and the last strip end where the picture does.
			from := math.Min(math.Max(x, x+(float64(k)-stripOverlap)*step), x+bw-wide)
			w.Start("svg", "class", "strip", "viewBox", mm(from)+" "+mm(y)+" "+mm(wide)+" "+mm(bh), "width", mm(100*c.wide)+"%",
				"data-use", id+"-ground "+id+"-plies"+strconv.Itoa(layer))
			w.End()
		}
		w.End()
	}
	w.End()
}

func mm(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
