package paper

import "codeberg.org/go-pdf/fpdf"

// Pen widths, mm.
const (
	Hairline = 0.1
	Thin     = 0.2
	Medium   = 0.35
	Thick    = 0.7
)

func (d *Doc) pen(width, grey float64) {
	g := int(float64(grey*255) + 0.5)
	d.pdf.SetLineWidth(width)
	d.pdf.SetDrawColor(g, g, g)
}

func (d *Doc) brush(grey float64) {
	g := int(float64(grey*255) + 0.5)
	d.pdf.SetFillColor(g, g, g)
}

// Line draws a straight line; grey is 0 black to 1 white.
func (d *Doc) Line(x1, y1, x2, y2, width, grey float64) {
	d.pen(width, grey)
	d.pdf.Line(x1, y1, x2, y2)
}

// Dashed draws a dashed line.
func (d *Doc) Dashed(x1, y1, x2, y2, width, grey float64) {
	d.pdf.SetDashPattern([]float64{1.2, 0.9}, 0)
	d.Line(x1, y1, x2, y2, width, grey)
	d.pdf.SetDashPattern(nil, 0)
}

// Box draws the outline of a rectangle.
func (d *Doc) Box(x, y, w, h, width, grey float64) {
	d.pen(width, grey)
	d.pdf.Rect(x, y, w, h, "D")
}

// Fill fills a rectangle.
func (d *Doc) Fill(x, y, w, h, grey float64) {
	d.brush(grey)
	d.pdf.Rect(x, y, w, h, "F")
}

// Tick draws an empty box to be ticked by hand.
func (d *Doc) Tick(x, y, side float64) {
	d.brush(1)
	d.pen(Medium, 0)
	d.pdf.Rect(x, y, side, side, "DF")
}

// Badge prints words in a frame, white on black where it is solid. The words
// are kept to the frame.
func (d *Doc) Badge(x, y, w, h float64, s string, pt float64, solid bool) {
	st := Style{Pt: pt, Min: pt * 0.6, Bold: true, Align: Centre}
	d.pen(Medium, 0)
	if solid {
		d.brush(0)
		d.pdf.Rect(x, y, w, h, "DF")
		st.Grey = 1
	} else {
		d.brush(1)
		d.pdf.Rect(x, y, w, h, "DF")
	}
	d.Text(x+0.6, y+(h+CapHeight(pt))/2, w-1.2, s, st)
}

// Clipped runs a drawing that leaves nothing outside a rectangle.
func (d *Doc) Clipped(x, y, w, h float64, draw func()) {
	d.pdf.ClipRect(x, y, w, h, false)
	draw()
	d.pdf.ClipEnd()
}

// Solid fills a closed path.
func (d *Doc) Solid(points [][2]float64, grey float64) {
	d.brush(grey)
	pts := make([]fpdf.PointType, len(points))
	for i, p := range points {
		pts[i] = fpdf.PointType{X: p[0], Y: p[1]}
	}
	d.pdf.Polygon(pts, "F")
}
