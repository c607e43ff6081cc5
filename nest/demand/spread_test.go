package demand

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/shapes"
)

// The room of these tests: fabrics, each good for one thing.
func fabrics() map[string]*shapes.Fabric {
	out := map[string]*shapes.Fabric{}
	add := func(f shapes.Fabric) {
		if f.Faces == "" {
			f.Faces = shapes.SameFaces
		}
		f.Width, f.Selvedge = 1270, 15
		out[f.Name] = &f
	}
	add(shapes.Fabric{Name: "mat", Construction: shapes.Mat})
	add(shapes.Fabric{Name: "one-sided mat", Construction: shapes.Mat, Faces: shapes.DifferentFaces})
	add(shapes.Fabric{Name: "plain", Construction: shapes.Plain})
	add(shapes.Fabric{Name: "balanced", Construction: shapes.Plain, Balanced: true})
	add(shapes.Fabric{Name: "ud", Construction: shapes.Unidirectional, ArealMass: 300})
	add(shapes.Fabric{Name: "one-sided ud", Construction: shapes.Unidirectional, ArealMass: 300, Faces: shapes.DifferentFaces})
	return out
}

// wedge is an outline that no turn and no mirror takes into itself.
var wedge = nest.Polygon{Outline: nest.Ring{{0, 0}, {600, 0}, {0, 300}}, Holes: []nest.Ring{}}

func spreader(tolerance float64, layers int, pieces ...nest.Demand) *Spreader {
	return &Spreader{
		Pieces: pieces, Table: []nest.Shape{{ID: "S1", Cut: wedge, Net: wedge}, {ID: "S2", Cut: wedge, Net: wedge}},
		Fabrics: fabrics(),
		Rules: &shapes.Cutting{Layers: layers, AngleTolerance: tolerance,
			Spreads: [][]string{{"mat", "one-sided mat", "plain", "balanced", "ud", "one-sided ud"}}},
		Room: func([]Layer) Room { return Room{Width: 1240, Length: math.Inf(1)} },
	}
}

// ply words a piece: fabric, direction, "opp" for the opposite hand.
func ply(order int, fabric string, direction float64, hand string) nest.Demand {
	return nest.Demand{Part: "P", Unit: 1, Order: order, Ply: fmt.Sprintf("U%02d", order), Copy: 1, Fabric: fabric, Shape: "S1",
		DirectionDeg: direction, ToleranceDeg: 3, OppositeHand: hand == "opp"}
}

// What pairs is found by equivalence. The angle is the rotation of the pair
// (degrees, M mirrored, * any), worked by hand: face up a ply asked at d lies
// at -d; the opposite hand is mirrored and asked at -d, so it lies at +d;
// turned over the first hand is mirrored and lies at +d.
func TestPairsByEquivalence(t *testing.T) {
	for _, c := range []struct {
		name      string
		tolerance float64
		lower     nest.Demand
		upper     nest.Demand
		want      string // turns, or empty
	}{
		{"one fabric twice", 0, ply(1, "plain", 30, ""), ply(2, "plain", 30, ""), "-30 150 M-150 M30"},
		{"two weaves alike", 0, ply(1, "plain", 30, ""), ply(2, "ud", 30, ""), "-30 150 M-150 M30"},
		{"two directions apart", 0, ply(1, "plain", 30, ""), ply(2, "ud", 33, ""), ""},
		{"apart but for tolerance", 2, ply(1, "plain", 30, ""), ply(2, "ud", 33, ""), "-31.5±0.5 148.5±0.5 M-148.5±0.5 M31.5±0.5"},
		{"apart by both tolerances", 1.5, ply(1, "plain", 30, ""), ply(2, "ud", 33, ""), "-31.5 148.5 M-148.5 M31.5"},
		{"a quarter turn off", 0, ply(1, "plain", 0, ""), ply(2, "ud", 90, ""), ""},
		{"a quarter turn off, balanced", 0, ply(1, "balanced", 0, ""), ply(2, "ud", 90, ""), "-90 90 M-90 M90"},
		{"mat takes any direction", 0, ply(1, "mat", 0, ""), ply(2, "ud", 20, ""), "-20 160 M-160 M20"},
		{"two mats", 0, ply(1, "mat", 0, ""), ply(2, "mat", 45, ""), "* M*"},
		{"a mat and the other hand, turned over", 0, ply(1, "mat", 0, "opp"), ply(2, "one-sided ud", 20, ""), "-20 160"},
		{"a one-sided mat and the other hand", 0, ply(1, "one-sided mat", 0, "opp"), ply(2, "one-sided ud", 20, ""), ""},
		{"hands of one fabric, one turned over", 0, ply(1, "ud", 30, ""), ply(2, "ud", 30, "opp"), "-30 150 M-150 M30"},
		{"hands that face one way", 0, ply(1, "one-sided ud", 30, ""), ply(2, "one-sided ud", 30, "opp"), "face to face -30 150"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := spreader(c.tolerance, 2, c.lower, c.upper)
			stacks, rest := s.Spread([]int{0, 1}, Choice{Across: true, Self: true})
			if c.want == "" {
				require.Empty(t, stacks)
				require.Equal(t, []int{0, 1}, rest)
				return
			}
			require.Len(t, stacks, 1)
			require.Empty(t, rest)
			require.Equal(t, []Cut{{0, 1}}, stacks[0].Kinds[0].Cuts, "the lower order lies below")
			words := turnWords(stacks[0].Kinds[0].Turns)
			if stacks[0].Layers[1].FaceDown {
				words = "face to face " + words
			}
			require.Equal(t, c.want, words)
		})
	}
}

func turnWords(ts []Turn) string {
	var out []string
	for _, t := range ts {
		w := ""
		if t.Mirrored {
			w = "M"
		}
		switch {
		case t.Any:
			w += "*"
		case t.Slack > 1e-9:
			w += fmt.Sprintf("%.4g±%.4g", t.Rotation, t.Slack)
		default:
			w += fmt.Sprintf("%.4g", t.Rotation)
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

// In one kit the lower order lies below, nearest orders first; the stack is
// turned round where that asks for it, and plies of other kits come last.
func TestPairsByKitAndOrder(t *testing.T) {
	p := []nest.Demand{ply(1, "mat", 0, ""), ply(4, "ud", 0, ""), ply(5, "mat", 0, ""), ply(9, "mat", 0, ""), ply(1, "ud", 0, "")}
	p[4].Unit = 2
	s := spreader(0, 2, p...)
	stacks, rest := s.Spread([]int{0, 1, 2, 3, 4}, Choice{Across: true})
	require.Len(t, stacks, 1)
	require.Equal(t, []Layer{{Fabric: "ud"}, {Fabric: "mat"}}, stacks[0].Layers)
	require.Equal(t, []Cut{{1, 2}}, stacks[0].Kinds[0].Cuts, "orders 4 and 5 are nearest, and ud comes first")
	require.Equal(t, []int{0, 3, 4}, rest)
	stacks, rest = s.Spread([]int{0, 1, 2, 3, 4}, Choice{Across: true, Kits: true})
	require.Len(t, stacks, 2)
	require.Equal(t, []Cut{{0, 4}}, stacks[0].Kinds[0].Cuts, "unit 2 lends its ud")
	require.Equal(t, []int{3}, rest)
}

// Equal outlines under two names are one shape on the table; an outline with a
// slit is another.
func TestPairsAcrossNames(t *testing.T) {
	a, b := ply(1, "mat", 0, ""), ply(2, "mat", 0, "")
	b.Shape = "S2"
	s := spreader(0, 2, a, b)
	stacks, _ := s.Spread([]int{0, 1}, Choice{Self: true})
	require.Len(t, stacks, 1)
	s.Table[1].Marks = []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{10, 10}, {50, 10}}}}
	stacks, _ = s.Spread([]int{0, 1}, Choice{Self: true})
	require.Empty(t, stacks)
}

// Up to the cutter's layers; a fabric outside every group is never stacked.
func TestLayersAndGroups(t *testing.T) {
	var p []nest.Demand
	for u := 1; u <= 5; u++ {
		d := ply(1, "plain", 0, "")
		d.Unit = u
		p = append(p, d)
	}
	s := spreader(0, 4, p...)
	stacks, rest := s.Spread([]int{0, 1, 2, 3, 4}, Choice{Self: true, Kits: true})
	require.Len(t, stacks, 1)
	require.Len(t, stacks[0].Layers, 4)
	require.Equal(t, []int{4}, rest)
	s.Rules.Spreads = [][]string{{"mat", "ud"}}
	stacks, rest = s.Spread([]int{0, 1, 2, 3, 4}, Choice{Self: true, Across: true, Kits: true})
	require.Empty(t, stacks)
	require.Len(t, rest, 5)
}

// A pair that fits neither fabric's shared strip stays single.
func TestPairsMustFitTheSharedStrip(t *testing.T) {
	s := spreader(0, 2, ply(1, "plain", 0, ""), ply(2, "ud", 0, ""))
	s.Room = func([]Layer) Room { return Room{Width: 299, Length: math.Inf(1)} }
	stacks, _ := s.Spread([]int{0, 1}, Choice{Across: true})
	require.Empty(t, stacks)
}

// Whatever is asked: every piece ends in one cut or single, layers hold their
// own fabric, and a rotation of the cut is one that each piece allows.
func TestSpreadProperty(t *testing.T) {
	names := []string{"mat", "one-sided mat", "plain", "balanced", "ud", "one-sided ud"}
	rapid.Check(t, func(t *rapid.T) {
		var p []nest.Demand
		var of []int
		for i := range rapid.IntRange(0, 14).Draw(t, "n") {
			d := ply(rapid.IntRange(1, 6).Draw(t, "order"), rapid.SampledFrom(names).Draw(t, "fabric"),
				rapid.SampledFrom([]float64{0, 2, 45, 90, -45}).Draw(t, "direction"), rapid.SampledFrom([]string{"", "opp"}).Draw(t, "hand"))
			d.Unit, d.Copy = rapid.IntRange(1, 2).Draw(t, "unit"), i+1
			p, of = append(p, d), append(of, i)
		}
		s := spreader(rapid.SampledFrom([]float64{0, 1.5}).Draw(t, "tolerance"), rapid.IntRange(1, 3).Draw(t, "layers"), p...)
		choice := Choice{Across: rapid.Bool().Draw(t, "across"), Self: rapid.Bool().Draw(t, "self"),
			Kits: rapid.Bool().Draw(t, "kits"), OneOrder: rapid.Bool().Draw(t, "one order")}
		stacks, rest := s.Spread(of, choice)
		seen := map[int]int{}
		for _, i := range rest {
			seen[i]++
		}
		for _, st := range stacks {
			require.LessOrEqual(t, len(st.Layers), s.Rules.Layers)
			for _, k := range st.Kinds {
				require.NotEmpty(t, k.Turns)
				for _, c := range k.Cuts {
					require.Len(t, c, len(st.Layers))
					for n, i := range c {
						seen[i]++
						require.Equal(t, st.Layers[n].Fabric, p[i].Fabric)
						for _, turn := range k.Turns {
							require.True(t, allows(s, p[i], st.Layers[n].FaceDown, turn), "%v %v", p[i], turn)
						}
						for m := range n {
							if a := p[c[m]]; a.Unit == p[i].Unit {
								require.LessOrEqual(t, a.Order, p[i].Order)
							}
						}
					}
				}
			}
		}
		for i := range p {
			require.Equal(t, 1, seen[i])
		}
	})
}

// allows asks the fabric itself whether the middle and the ends of a turn lay
// the ply as asked.
func allows(s *Spreader, d nest.Demand, down bool, turn Turn) bool {
	f := s.Fabrics[d.Fabric]
	turned := turn.Mirrored != d.OppositeHand
	for _, r := range []float64{turn.Rotation - turn.Slack, turn.Rotation, turn.Rotation + turn.Slack} {
		dev, ok := shapes.Deviation(shapes.LaidAngle(r, turned), turned != down, f.WarpAngles(d.DirectionDeg, d.OppositeHand))
		if !ok || math.Abs(dev) > math.Min(d.ToleranceDeg, s.Rules.AngleTolerance)+1e-6 {
			return false
		}
	}
	return true
}
