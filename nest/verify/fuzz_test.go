package verify_test

import (
	"testing"

	"plyroom/nest"
)

// FuzzPair reads two polygons of small whole coordinates, so that they share
// vertices, edges and lines, at a scale and slant that the first byte chooses,
// and holds the verdict against the outside library's.
//
//	size | n | n × (x, y) of the first | (x, y) … of the second
func FuzzPair(f *testing.F) {
	f.Add([]byte{0, 4, 0, 0, 8, 0, 8, 8, 0, 8, 1, 0, 9, 0, 9, 8, 1, 8})
	f.Add([]byte{1, 4, 0, 0, 8, 0, 8, 8, 0, 8, 0, 0, 8, 0, 8, 8, 0, 8})
	f.Add([]byte{2, 3, 0, 0, 8, 0, 4, 8, 8, 0, 0, 0, 4, 0x88})
	f.Add([]byte{3, 5, 0, 0, 8, 0, 8, 8, 4, 2, 0, 8, 4, 2, 8, 8, 0, 8})
	f.Add([]byte{4, 8, 0, 0, 9, 0, 9, 9, 6, 9, 6, 3, 3, 3, 3, 9, 0, 9, 3, 3, 6, 3, 6, 9, 3, 9})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 14 || len(data) > 60 {
			return
		}
		size, n, rest := data[0], int(data[1]), data[2:]
		if n < 3 || 2*n+6 > len(rest) {
			return
		}
		step := [...]float64{1e-4, 1e-3, 1, 37.5, 1e4, 1e5}[size%6]
		turn := [...]float64{0, 45, 30, 1e-3, 211.7}[size/6%5]
		read := func(b []byte) nest.Polygon {
			var p nest.Polygon
			for i := 0; i+1 < len(b); i += 2 {
				p.Outline = append(p.Outline, nest.Point{float64(int8(b[i])) * step, float64(int8(b[i+1])) * step})
			}
			return rounded(moved(p, turn, 0, 0))
		}
		a, b := read(rest[:2*n]), read(rest[2*n:])
		if _, _, err := judge(a, b); err != nil {
			t.Errorf("%v\na = %v\nb = %v", err, a, b)
		}
	})
}
