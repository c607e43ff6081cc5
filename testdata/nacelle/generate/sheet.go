package main

import (
	"math"
	"strconv"
	"strings"
)

// A sheet is one drawing file.
type sheet struct {
	file   string
	shapes []shape
}

// bytes writes the sheet in the format of its name.
func (s sheet) bytes() []byte {
	placed := s.arranged()
	if strings.HasSuffix(s.file, ".svg") {
		return svgBytes(s.file, placed)
	}
	return dxfBytes(placed)
}

const (
	sheetWidth = 3200 // mm, where a new row begins
	apart      = 60   // mm between shapes
)

// arranged puts the shapes in rows, so that none lies on another.
func (s sheet) arranged() []shape {
	var out []shape
	x, y, row := 0.0, 0.0, 0.0
	for _, sh := range s.shapes {
		sh = sh.turned(sh.turn)
		lo, hi := sh.bounds()
		w, h := hi.x-lo.x, hi.y-lo.y
		if x > 0 && x+w > sheetWidth {
			x, y, row = 0, y+row+apart, 0
		}
		out = append(out, sh.moved(math.Round(x-lo.x), math.Round(y-lo.y)))
		x += w + apart
		row = math.Max(row, h)
	}
	return out
}

// num writes a figure with at most four decimals.
func num(v float64) string {
	v = math.Round(v*1e4) / 1e4
	if v == 0 {
		v = 0 // not -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
