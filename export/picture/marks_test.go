package picture

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/shapes"
)

// A seam drawn from corner to corner of a shape runs from corner to corner of
// the ply as placed, turned, mirrored or both.
func TestSeamsLieOnThePly(t *testing.T) {
	rec := sample.Record(sample.Options{})
	for i := range rec.Shapes {
		r := rec.Shapes[i].Cut.Outline
		rec.Shapes[i].Marks = []shapes.Mark{
			{Kind: shapes.MarkSeam, Line: orb.LineString{orb.Point(r[0]), orb.Point(r[len(r)/2])}},
			{Kind: shapes.MarkText, Line: orb.LineString{{0, 0}}, Text: "not drawn"},
		}
	}
	mirrored := 0
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		d := New(rec, l, Options{})
		for k := range l.Placed {
			p := &l.Placed[k]
			if p.TurnedOver != p.OppositeHand {
				mirrored++
			}
			corners := map[string]bool{}
			for _, v := range p.Outline {
				corners[fmt.Sprintf("%.0f %.0f", v[0], l.Width-v[1])] = true
			}
			seam := d.marks(p)
			require.Equal(t, 1, strings.Count(seam, "M"))
			for _, end := range strings.Split(seam[1:], "L") {
				var x, y float64
				_, err := fmt.Sscan(strings.ReplaceAll(end, "-", " -"), &x, &y)
				require.NoError(t, err, seam)
				near := false
				for dx := -1.0; dx <= 1; dx++ {
					for dy := -1.0; dy <= 1; dy++ {
						near = near || corners[fmt.Sprintf("%.0f %.0f", x+dx*0.2, y+dy*0.2)]
					}
				}
				require.True(t, near, "%s %s: the seam %s does not end at a corner", l.ID, p.Ply, seam)
			}
		}
	}
	require.Positive(t, mirrored)
}
