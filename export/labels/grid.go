package labels

import (
	"fmt"

	"plyroom/export/paper"
)

// A Grid is how labels stand on a page, mm.
type Grid struct {
	// Page is the sheet; for a continuous roll it is one label.
	Page paper.Size
	// Columns and Rows of labels on a page.
	Columns, Rows int
	// Width and Height of one label.
	Width, Height float64
	// Left and Top are the margins to the first label.
	Left, Top float64
	// PitchX and PitchY are the distances from one label to the next, edge to
	// like edge; 0 takes Width and Height.
	PitchX, PitchY float64
	// Frame draws dashed lines round the labels, to cut plain card along.
	Frame bool
}

// Smallest label that holds what a tag must say, mm.
const (
	LeastWidth  = 44.0
	LeastHeight = 24.0
)

// Sheet24 is three columns of eight on A4.
func Sheet24() Grid {
	return Grid{Page: paper.A4, Columns: 3, Rows: 8, Width: 64, Height: 34, Left: 7, Top: 12.5, PitchX: 66, PitchY: 34, Frame: true}
}

// Sheet24Letter is three columns of eight on Letter.
func Sheet24Letter() Grid {
	return Grid{Page: paper.Letter, Columns: 3, Rows: 8, Width: 66, Height: 32, Left: 7, Top: 11.7, PitchX: 68, PitchY: 32, Frame: true}
}

// Roll is a continuous roll of labels of one size, mm: every page is one
// label.
func Roll(width, height float64) Grid {
	return Grid{Page: paper.Size{Name: "roll", Width: width, Height: height}, Columns: 1, Rows: 1, Width: width, Height: height}
}

// check fills in defaults and says what is wrong with a grid.
func (g *Grid) check() error {
	if g.PitchX == 0 {
		g.PitchX = g.Width
	}
	if g.PitchY == 0 {
		g.PitchY = g.Height
	}
	const slack = 0.05
	right := g.Left + float64(float64(g.Columns-1)*g.PitchX) + g.Width
	bottom := g.Top + float64(float64(g.Rows-1)*g.PitchY) + g.Height
	switch {
	case !(g.Columns >= 1 && g.Rows >= 1):
		return fmt.Errorf("labels: %d columns of %d rows; at least one of each is needed", g.Columns, g.Rows)
	case !(g.Width >= LeastWidth && g.Height >= LeastHeight):
		return fmt.Errorf("labels: %g × %g mm is too small for a tag; at least %g × %g mm", g.Width, g.Height, LeastWidth, LeastHeight)
	case !(g.Left >= 0 && g.Top >= 0):
		return fmt.Errorf("labels: margins of %g and %g mm; they may not be negative", g.Left, g.Top)
	case g.Columns > 1 && g.PitchX < g.Width-slack, g.Rows > 1 && g.PitchY < g.Height-slack:
		return fmt.Errorf("labels: %g × %g mm overlap at a pitch of %g × %g mm", g.Width, g.Height, g.PitchX, g.PitchY)
	case !(right <= g.Page.Width+slack && bottom <= g.Page.Height+slack):
		return fmt.Errorf("labels: the grid reaches %g × %g mm on a page of %g × %g mm", right, bottom, g.Page.Width, g.Page.Height)
	}
	return nil
}

// at is the upper left corner of a label by its number on the page.
func (g *Grid) at(n int) (x, y float64) {
	return g.Left + float64(float64(n%g.Columns)*g.PitchX), g.Top + float64(float64(n/g.Columns)*g.PitchY)
}
