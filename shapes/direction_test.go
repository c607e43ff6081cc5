package shapes

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func ud(layers ...float64) []FabricLayer {
	out := make([]FabricLayer, len(layers))
	for i, a := range layers {
		out[i] = FabricLayer{Angle: a, Mass: 300}
	}
	return out
}

// show writes warp angles as "up 0 180 | turned 45 225".
func show(ws []Warp) string {
	side := map[bool][]float64{}
	var out []string
	for _, w := range ws {
		if w.Any {
			out = append(out, map[bool]string{false: "up any", true: "turned any"}[w.TurnedOver])
			continue
		}
		side[w.TurnedOver] = append(side[w.TurnedOver], w.Angle)
	}
	for _, turned := range []bool{false, true} {
		if len(side[turned]) == 0 {
			continue
		}
		sort.Float64s(side[turned])
		words := []string{map[bool]string{false: "up", true: "turned"}[turned]}
		for _, a := range side[turned] {
			words = append(words, fmt.Sprintf("%g", a))
		}
		out = append(out, strings.Join(words, " "))
	}
	return strings.Join(out, " | ")
}

// The table is derived by hand. S is the stack bottom to top against the warp,
// d the direction asked for. Face up the laid stack is S+w, so w is d (and
// d+180, since fibres repeat every 180°). Turned over it is reverse(-S)+w:
//
//	[0]            reverse(-S) = [0]               w = d
//	[45/-45]       reverse(-S) = [45/-45]          w = d
//	[45/0/-45]     reverse(-S) = [45/0/-45]        w = d
//	[0/90]         reverse(-S) = [-90/0] = [90/0]  w = d+90
//	[0/45/90/-45]  reverse(-S) = [45/90/-45/0]     w = d-45: [0/45/-90/-45]
//	[0/45/-45]     reverse(-S) = [45/-45/0]        w = d-45 gives [0/-90/-45]: never
//	[30/-60]       reverse(-S) = [60/-30]          w = d-30: [30/-60]
//
// Opposite hand asks for direction -d; where the layer order matters for -S-d:
//
//	[45/-45]       face up S+w = [-45/45]-d        w = 90-d; turned the same
//	[0/90]         -S = [0/-90] = S                w = -d; turned 90-d
//	[0/45/-45]     -S = [0/-45/45]: S+w never (w = 0 fails); turned
//	               [45/-45/0]+w = [0/-45/45], w = -45 gives [0/-90/-45]: never
func TestWarpAngles(t *testing.T) {
	matters := func(f Fabric) Fabric { f.LayerOrderMatters = true; return f }
	different := func(f Fabric) Fabric { f.Faces = DifferentFaces; return f }
	balanced := func(f Fabric) Fabric { f.Balanced = true; return f }
	free := func(f Fabric) Fabric { f.DiagonalFree = true; return f }
	positions := func(f Fabric, p ...float64) Fabric { f.WarpPositions = p; return f }

	mat := Fabric{Construction: Mat, Faces: SameFaces}
	film := Fabric{Construction: Film, Faces: SameFaces}
	core := Fabric{Construction: Core, Faces: DifferentFaces}
	uni := Fabric{Construction: Unidirectional, Faces: SameFaces, ArealMass: 300}
	plain := Fabric{Construction: Plain, Faces: SameFaces}
	twill := Fabric{Construction: Twill, Faces: SameFaces}
	satin := Fabric{Construction: Satin, Faces: SameFaces}
	bias := Fabric{Construction: Biaxial, Faces: SameFaces, Layers: ud(45, -45)}
	cross := Fabric{Construction: Biaxial, Faces: SameFaces, Layers: ud(0, 90)}
	skew := Fabric{Construction: Biaxial, Faces: SameFaces, Layers: ud(30, -60)}
	heavy := Fabric{Construction: Biaxial, Faces: SameFaces, Layers: []FabricLayer{{45, 300}, {-45, 200}}}
	tri := Fabric{Construction: Triaxial, Faces: SameFaces, Layers: ud(45, 0, -45)}
	triOdd := Fabric{Construction: Triaxial, Faces: SameFaces, Layers: ud(0, 45, -45)}
	quad := Fabric{Construction: Quadraxial, Faces: SameFaces, Layers: ud(0, 45, 90, -45)}

	tests := []struct {
		name     string
		fabric   Fabric
		d        float64
		opposite bool
		want     string
	}{
		{"mat", mat, 30, false, "up any | turned any"},
		{"mat, mat side out", different(mat), 30, true, "up any"},
		{"film", film, 0, false, "up any | turned any"},
		{"core with a scrim", core, 0, false, "up any"},

		{"unidirectional", uni, 30, false, "up 30 210 | turned 30 210"},
		{"unidirectional, opposite", uni, 30, true, "up 150 330 | turned 150 330"},
		{"unidirectional, stitch side out", different(uni), 30, false, "up 30 210"},
		{"unidirectional, opposite, stitch side out", different(uni), 30, true, "up 150 330"},
		{"unidirectional, order matters", matters(uni), 30, true, "up 150 330 | turned 150 330"},

		{"plain", plain, 45, false, "up 45 225 | turned 45 225"},
		{"plain, balanced", balanced(plain), 45, false, "up 45 135 225 315 | turned 45 135 225 315"},
		{"plain, balanced, opposite", balanced(plain), 30, true, "up 60 150 240 330 | turned 60 150 240 330"},
		{"plain, balanced, different", balanced(different(plain)), 0, false, "up 0 90 180 270"},

		{"twill", twill, 0, false, "up 0 180"},
		{"twill, balanced", balanced(twill), 0, false, "up 0 180"},
		{"twill, balanced, diagonal free", free(balanced(twill)), 0, false, "up 0 90 180 270 | turned 0 90 180 270"},
		{"twill, diagonal free", free(twill), -30, false, "up 150 330 | turned 150 330"},

		{"satin", satin, 90, false, "up 90 270"},
		{"satin, balanced", balanced(satin), 90, true, "up 90 270"},

		{"[45/-45]", bias, 0, false, "up 0 180 | turned 0 180"},
		{"[45/-45] at 45", bias, 45, false, "up 45 225 | turned 45 225"},
		{"[45/-45], different", different(bias), 45, false, "up 45 225"},
		{"[45/-45], opposite", bias, 30, true, "up 150 330 | turned 150 330"},
		{"[45/-45], opposite, order matters", matters(bias), 0, true, "up 90 270 | turned 90 270"},
		{"[45/-45] at 30, opposite, order matters", matters(bias), 30, true, "up 60 240 | turned 60 240"},
		{"[45/-45] at 30, first hand, order matters", matters(bias), 30, false, "up 30 210 | turned 30 210"},
		{"[45/-45], one layer heavier", heavy, 0, false, "up 0 180"},

		{"[0/90]", cross, 0, false, "up 0 180 | turned 90 270"},
		{"[0/90], opposite, order matters", matters(cross), 30, true, "up 150 330 | turned 60 240"},
		{"[30/-60]", skew, 0, false, "up 0 180 | turned 150 330"},

		{"[45/0/-45]", tri, 20, false, "up 20 200 | turned 20 200"},
		{"[0/45/-45]", triOdd, 20, false, "up 20 200"},
		{"[0/45/-45], opposite", triOdd, 20, true, "up 160 340"},
		{"[0/45/-45], opposite, order matters", matters(triOdd), 20, true, ""},
		{"[0/45/90/-45]", quad, 0, false, "up 0 180 | turned 135 315"},
		{"[0/45/90/-45], different", different(quad), 0, false, "up 0 180"},

		{"stated: one way only", positions(plain, 0), 0, false, "up 0 | turned 0"},
		{"stated: one way only, different", positions(different(plain), 0), 30, true, "up 330"},
		{"stated one way, [0/90]", positions(cross, 0), 0, false, "up 0"},
		{"stated both ways, [0/90]", positions(cross, 0, 180), 0, false, "up 0 180 | turned 90 270"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.want, show(tt.fabric.WarpAngles(tt.d, tt.opposite)))
		})
	}
}

// TestSign pins the rule that a wrong sign would break: the warp of a ply
// placed at r lies at -r face up and at +r turned over.
func TestSign(t *testing.T) {
	require.Equal(t, 44.0, NormalDirection(LaidAngle(-44, false)))
	require.Equal(t, -44.0, NormalDirection(LaidAngle(-44, true)))
	require.Equal(t, -30.0, RotationFor(30, false))
	require.Equal(t, 30.0, RotationFor(30, true))

	bias := Fabric{Construction: Biaxial, Faces: SameFaces, Layers: ud(45, -45)}
	allowed := bias.WarpAngles(45, false)
	// Turned biaxial: r = -45 face up and r = +45 turned over are right, and
	// r = -45 turned over is 90° off.
	for _, tt := range []struct {
		r      float64
		turned bool
		dev    float64
	}{{-45, false, 0}, {45, true, 0}, {-45, true, 90}, {-44, false, -1}, {44, true, -1}, {136, false, -1}} {
		dev, ok := Deviation(LaidAngle(tt.r, tt.turned), tt.turned, allowed)
		require.True(t, ok)
		require.InDelta(t, tt.dev, math.Copysign(dev, tt.dev), 1e-9, "r %v turned %v", tt.r, tt.turned)
		if math.Abs(tt.dev) != 90 { // 90° off is as near either way
			require.InDelta(t, tt.dev, dev, 1e-9)
		}
	}
}

// TestLaidStackIsAsked builds the fibres on the table one by one: each fibre
// is a direction on the fabric, carried through the mirroring and the turn
// back onto the part. Whatever WarpAngles allows must give the asked stack,
// and whatever gives it must be allowed.
func TestLaidStackIsAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "layers")
		f := Fabric{Construction: Quadraxial, Faces: SameFaces}
		for range n {
			f.Layers = append(f.Layers, FabricLayer{
				Angle: 15 * float64(rapid.IntRange(-5, 6).Draw(t, "angle")),
				Mass:  100 * float64(rapid.IntRange(1, 2).Draw(t, "mass")),
			})
		}
		d := 15 * float64(rapid.IntRange(-5, 6).Draw(t, "direction"))
		allowed := f.WarpAngles(d, false)
		asked := make([]FabricLayer, n)
		for i, l := range f.Layers {
			asked[i] = FabricLayer{Angle: mod(l.Angle+d, 180), Mass: l.Mass}
		}
		for r := -180.0; r < 180; r += 15 {
			for _, turned := range []bool{false, true} {
				laid := make([]FabricLayer, n)
				for i, l := range f.Layers {
					// On the table the fibre runs at l.Angle. Undo the turn by
					// r; undo the mirroring; a ply turned over shows its top
					// layer to the tool.
					a := l.Angle - r
					k := i
					if turned {
						a = -a
						k = n - 1 - i
					}
					laid[k] = FabricLayer{Angle: mod(a, 180), Mass: l.Mass}
				}
				same := true
				for i := range laid {
					off := mod(laid[i].Angle-asked[i].Angle, 180)
					same = same && (off < 1e-6 || off > 180-1e-6) && laid[i].Mass == asked[i].Mass
				}
				dev, ok := Deviation(LaidAngle(r, turned), turned, allowed)
				require.Equal(t, same, ok && math.Abs(dev) < 1e-6, "layers %v, direction %v, r %v, turned %v", f.Layers, d, r, turned)
			}
		}
	})
}
