package toolpath_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"plyroom/export/toolpath"
	"plyroom/nest"
)

// An outline of 100,000 vertices, smooth or jagged at every one of them, is
// planned in bounded time by every kind of knife.
func TestOutlineOfManyVertices(t *testing.T) {
	const n = 100000
	for _, jag := range []float64{0, 0.3} {
		rec := &nest.Record{Layouts: []nest.Layout{{ID: "L1", Length: 1200, Width: 1200}}}
		var r nest.Ring
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / n)
			rad := 500 + jag*float64(i%2)
			r = append(r, nest.Point{600 + rad*c, 600 + rad*s})
		}
		rec.Layouts[0].Placed = []nest.Placed{{Part: "P", Ply: "large", Outline: r}}
		for _, m := range []toolpath.Machine{{}, {Kind: toolpath.Drag}, {Overcut: 2}, {Kind: toolpath.Wheel, WheelShorten: true}, {Once: true}, {Window: 300}, {ArcTolerance: 0.026}, {Kind: toolpath.Drag, ArcTolerance: 0.026}} {
			began := time.Now()
			p := plan(t, rec, m)
			assert.NotEmpty(t, p.Moves)
			assert.Less(t, time.Since(began), 20*time.Second, fmt.Sprintf("%+v", m))
		}
	}
}
