package labels

import (
	"fmt"
	"strconv"
	"strings"

	"plyroom/export/paper"
)

// ParseOrder finds an order of printing by its word: lay-up, pile or
// off-table.
func ParseOrder(word string) (Order, error) {
	switch word {
	case "", "lay-up":
		return LayUp, nil
	case "pile":
		return Pile, nil
	case "off-table":
		return OffTable, nil
	}
	return LayUp, fmt.Errorf("unknown order of labels %q; known are lay-up, pile and off-table", word)
}

// ParseGrid reads how labels stand on a sheet, all in mm:
//
//	3x8,64x34              columns and rows, then width and height of a label;
//	3x8,64x34,7x12.5       the margins left and above;
//	3x8,64x34,7x12.5,66x34 the distance from label to label, edge to like edge
//
// Without margins the grid stands in the middle of the sheet, without
// distances the labels touch.
func ParseGrid(text string, sheet paper.Size) (Grid, error) {
	bad := func() (Grid, error) {
		return Grid{}, fmt.Errorf("%q is no grid of labels: write columns×rows and the label's width×height, such as 3x8,64x34, then perhaps margins and distances in mm", text)
	}
	fields := strings.Split(text, ",")
	if len(fields) < 2 || len(fields) > 4 {
		return bad()
	}
	var v [4][2]float64
	for i, f := range fields {
		a, b, ok := pair(f)
		if !ok {
			return bad()
		}
		v[i] = [2]float64{a, b}
	}
	g := Grid{Page: sheet, Columns: int(v[0][0]), Rows: int(v[0][1]), Width: v[1][0], Height: v[1][1], PitchX: v[3][0], PitchY: v[3][1]}
	if float64(g.Columns) != v[0][0] || float64(g.Rows) != v[0][1] {
		return bad()
	}
	if g.PitchX == 0 {
		g.PitchX = g.Width
	}
	if g.PitchY == 0 {
		g.PitchY = g.Height
	}
	g.Left, g.Top = v[2][0], v[2][1]
	if len(fields) < 3 {
		g.Left = max(0, (sheet.Width-float64(float64(g.Columns-1)*g.PitchX)-g.Width)/2)
		g.Top = max(0, (sheet.Height-float64(float64(g.Rows-1)*g.PitchY)-g.Height)/2)
	}
	return g, g.check()
}

// ParseRoll reads the size of the labels on a continuous roll, mm: 100x50.
func ParseRoll(text string) (Grid, error) {
	w, h, ok := pair(text)
	if !ok {
		return Grid{}, fmt.Errorf("%q is no size of label: write width×height in mm, such as 100x50", text)
	}
	g := Roll(w, h)
	return g, g.check()
}

// most bounds what a label, a sheet or their number can be.
const most = 5000

// pair reads two figures with an x between them.
func pair(text string) (a, b float64, ok bool) {
	left, right, found := strings.Cut(strings.ReplaceAll(strings.TrimSpace(text), "×", "x"), "x")
	if !found {
		return 0, 0, false
	}
	a, err1 := strconv.ParseFloat(strings.TrimSpace(left), 64)
	b, err2 := strconv.ParseFloat(strings.TrimSpace(right), 64)
	return a, b, err1 == nil && err2 == nil && a >= 0 && b >= 0 && a <= most && b <= most
}
