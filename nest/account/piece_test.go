package account

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

// An L-shaped remnant, worked by hand. Outline 1000 × 400 below and 600 × 400
// above it: 640,000 mm². Layout 700 long, ends of 10, no selvedge left; one ply
// 680 × 390; the 300 behind it are too short to keep. In mm²:
//
//	drawn    700·800 - 100·400 + (300·800 - 300·400) = 640,000: the whole piece
//	ends     10·800 + 10·400 = 12,000
//	roll end 300·400 = 120,000
//	gaps     680·800 - 680·390 - 90·400 = 242,800
func TestShapedRemnant(t *testing.T) {
	piece := &shapes.Piece{Outline: [][2]float64{{0, 0}, {1000, 0}, {1000, 400}, {600, 400}, {600, 800}, {0, 800}}}
	r := &nest.Record{Fabrics: []shapes.Fabric{{Name: "CSM 450", Construction: shapes.Mat, Width: 1270, Selvedge: 15,
		Rolls: []shapes.Roll{{Name: "RM-AAAAAAAA", Length: 1000, Width: 800, Piece: piece}}}}}
	l := nest.Layout{ID: "L1", Length: 700, Width: 800, Usable: [2]nest.Point{{10, 0}, {690, 800}}, RollEnd: 300,
		Layers: []nest.Layer{{Layer: 1, Fabric: "CSM 450", Roll: "RM-AAAAAAAA"}}}
	add(r, &l, "A", 1, "CSM 450", rect(10, 0, 690, 390))
	r.Layouts = []nest.Layout{l}
	b, err := Layer(r, &l, 0)
	require.NoError(t, err)
	require.InDelta(t, 0, b.Imbalance(), 1e-3)
	require.InDelta(t, 640_000, b.Drawn, 1e-3)
	require.InDelta(t, 12_000, b.EndAllowance, 1e-3)
	require.InDelta(t, 120_000, b.RollEnd, 1e-3)
	require.InDelta(t, 242_800, b.Gaps, 1e-3)
	require.Zero(t, b.Selvedge)

	// With 20 of selvedge left at both edges: 700·20 below, 600·20 above.
	piece.Selvedge = 20
	l.Usable = [2]nest.Point{{10, 20}, {690, 780}}
	l.Placed[0].Outline = rect(10, 20, 690, 410-20)
	r.Shapes[0].Net.Outline, r.Shapes[0].Cut.Outline = l.Placed[0].Outline, l.Placed[0].Outline
	b, err = Layer(r, &l, 0)
	require.NoError(t, err)
	require.InDelta(t, 0, b.Imbalance(), 1e-3)
	require.InDelta(t, 700*20+600*20, b.Selvedge, 1e-3)
}
