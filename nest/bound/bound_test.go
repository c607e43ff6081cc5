package bound

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/shapes/geom"
)

func box(w, h float64) orb.Ring { return orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// fixed is one rotation, not mirrored.
var fixed = []Turn{{}}

func rects(count int, w, h float64) Piece {
	return Piece{Exterior: box(w, h), Count: count, Turns: fixed}
}

// Every case is worked by hand; the bound meets the optimum in all but those
// that say otherwise.
func TestLength(t *testing.T) {
	hole := orb.Ring{{20, 20}, {20, 80}, {80, 80}, {80, 20}}
	tests := []struct {
		name   string
		strip  Strip
		pieces []Piece
		want   float64
	}{
		{"nothing", Strip{Width: 100}, nil, 0},
		{"area: four squares fill two columns", Strip{Width: 100}, []Piece{rects(4, 50, 50)}, 100},
		{"one long piece", Strip{Width: 100}, []Piece{rects(1, 300, 10)}, 300},
		{"more than half the width: one after another", Strip{Width: 100}, []Piece{rects(3, 40, 51)}, 120},
		{"more than a third: two in a column", Strip{Width: 100}, []Piece{rects(4, 40, 34)}, 80},
		{"more than a quarter: three in a column", Strip{Width: 100}, []Piece{rects(9, 10, 26)}, 30},
		{"large beside small: 70 leaves room for 30, not for 31", Strip{Width: 100},
			[]Piece{rects(2, 50, 70), rects(2, 50, 31)}, 50*2 + 31},
		{"large beside what fits", Strip{Width: 100}, []Piece{rects(2, 50, 70), rects(2, 50, 30)}, 100},
		{"gap: 590 twice and 3 on 1183", Strip{Width: 1183, Gap: 3}, []Piece{rects(2, 1000, 590)}, 1000},
		{"gap: 590 twice and 3 on 1182", Strip{Width: 1182, Gap: 3}, []Piece{rects(2, 1000, 590)}, 2000},
		{"a cut-out that holds nothing", Strip{Width: 100}, []Piece{{Exterior: box(100, 100), Holes: []orb.Ring{hole}, Count: 1, Turns: fixed},
			rects(1, 61, 100)}, 161},
		{"a cut-out that holds the other piece", Strip{Width: 100}, []Piece{{Exterior: box(100, 100), Holes: []orb.Ring{hole}, Count: 1, Turns: fixed},
			rects(1, 60, 60)}, 100},
		{"a turned piece is taken at its best: a third of a column", Strip{Width: 100}, []Piece{{Exterior: box(30, 60), Count: 2, Turns: []Turn{{}, {From: 90, To: 90}}}}, 40},
		{"a flaw in the way", Strip{Width: 100, Blocked: [][2]float64{{50, 80}}}, []Piece{rects(1, 100, 100)}, 130},
		{"a flaw behind", Strip{Width: 100, Blocked: [][2]float64{{500, 580}}}, []Piece{rects(1, 100, 100)}, 100},
		{"any rotation: the disc in it stands alone", Strip{Width: 100}, []Piece{{Exterior: box(90, 90), Count: 1}}, 90},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Length(tt.strip, tt.pieces)
			require.InDelta(t, tt.want, got, tt.want*1e-6)
			require.LessOrEqual(t, got, tt.want)
		})
	}
}

func TestTooWide(t *testing.T) {
	require.True(t, math.IsInf(Length(Strip{Width: 50}, []Piece{rects(1, 10, 51)}), 1))
}

// A tolerance of a degree hardly weakens the bound of tall pieces, and never
// strengthens it.
func TestTolerance(t *testing.T) {
	s := Strip{Width: 1240, Gap: 3}
	exact := Length(s, []Piece{rects(3, 1000, 700)})
	loose := Length(s, []Piece{{Exterior: box(1000, 700), Count: 3, Turns: []Turn{{From: -1, To: 1}}}})
	require.InDelta(t, 3000, exact, 1e-3)
	require.LessOrEqual(t, loose, exact)
	require.Greater(t, loose, 2900.0)
}

// A layout that is known bounds the bound: random guillotine cuts of a strip,
// some pieces left out, some with a piece taken from their inside as a piece
// of its own. Killed by any bound that is too high, such as one that takes
// value at the upper side of a jump.
func TestNeverAboveAKnownLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]float64{0, 0, 3}).Draw(t, "gap")
		width := float64(rapid.SampledFrom([]int{60, 90, 100, 120}).Draw(t, "width"))
		length := float64(rapid.IntRange(30, 300).Draw(t, "length"))
		var pieces []Piece
		var cut func(x0, y0, x1, y1 float64, depth int)
		cut = func(x0, y0, x1, y1 float64, depth int) {
			w, h := x1-x0, y1-y0
			if depth > 0 && w > 12+gap && h > 12+gap {
				if rapid.Bool().Draw(t, "across") {
					at := x0 + float64(rapid.IntRange(1, int(w-gap)-1).Draw(t, "at"))
					cut(x0, y0, at, y1, depth-1)
					cut(at+gap, y0, x1, y1, depth-1)
				} else {
					at := y0 + float64(rapid.IntRange(1, int(h-gap)-1).Draw(t, "at"))
					cut(x0, y0, x1, at, depth-1)
					cut(x0, at+gap, x1, y1, depth-1)
				}
				return
			}
			p := Piece{Exterior: box(w, h), Count: 1, Turns: fixed}
			if m := 2 + gap; w > 3*m && h > 3*m && rapid.Bool().Draw(t, "hollow") {
				p.Holes = []orb.Ring{{{2, 2}, {2, h - 2}, {w - 2, h - 2}, {w - 2, 2}}}
				pieces = append(pieces, Piece{Exterior: box(w-4-2*gap, h-4-2*gap), Count: 1, Turns: fixed})
			} else if rapid.IntRange(0, 3).Draw(t, "trim") == 0 {
				// A corner is cut off, so that edges slant.
				p.Exterior = orb.Ring{{0, 0}, {w, 0}, {w, h / 2}, {w / 2, h}, {0, h}}
			}
			if rapid.IntRange(0, 2).Draw(t, "turn") == 0 {
				// Any set of turns that holds the one used may only lower it.
				p.Turns = [][]Turn{nil, {{From: -2, To: 3}}, {{}, {From: 90, To: 90}}, {{}, {Mirrored: true, From: 10, To: 12}}}[rapid.IntRange(0, 3).Draw(t, "turns")]
			}
			pieces = append(pieces, p)
		}
		cut(0, 0, length, width, rapid.IntRange(0, 5).Draw(t, "depth"))
		if got := Length(Strip{Width: width, Gap: gap}, pieces); got > length {
			t.Fatalf("bound %v above a layout of length %v", got, length)
		}
		// A wall of known place only adds its own length.
		wall := float64(rapid.IntRange(1, 50).Draw(t, "wall"))
		blocked := Strip{Width: width, Gap: gap, Blocked: [][2]float64{{0, wall}}}
		if got := Length(blocked, pieces); got > length+wall {
			t.Fatalf("bound %v above a layout of length %v behind a wall of %v", got, length, wall)
		}
	})
}

// The functions are dual feasible: shares that sum to at most 1 have values
// that do; and superadditive.
func TestFunctionsAreDualFeasible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var f function = staircase{float64(rapid.IntRange(1, 12).Draw(t, "k"))}
		if rapid.Bool().Draw(t, "cutoff") {
			f = cutoff{rapid.Float64Range(0.001, 0.5).Draw(t, "e")}
		}
		left, sum := 1.0, 0.0
		n := rapid.IntRange(1, 8).Draw(t, "n")
		for i := range n {
			share := left * rapid.Float64Range(0, 1).Draw(t, "share")
			if i == n-1 || rapid.Bool().Draw(t, "even") {
				share = math.Min(left, 1/float64(rapid.IntRange(1, 13).Draw(t, "of")))
			}
			sum += f.value(share)
			left -= share
		}
		if sum > 1+1e-12 {
			t.Fatalf("%#v: values sum to %v", f, sum)
		}
		a := rapid.Float64Range(0, 0.5).Draw(t, "a")
		b := rapid.Float64Range(0, 0.5).Draw(t, "b")
		if f.value(a)+f.value(b) > f.value(a+b)+1e-9 && !nearJump(f, a+b) {
			t.Fatalf("%#v: f(%v)+f(%v) > f(sum)", f, a, b)
		}
		// The mean is no more than an average taken step by step.
		lo, hi := math.Min(a, b), math.Max(a, b)
		steps, average := 2000, 0.0
		for i := range steps {
			average += f.value(lo+(hi-lo)*(float64(i)+0.5)/float64(steps)) / float64(steps)
		}
		if m := f.mean(a, b); m > average+2.0/float64(steps) {
			t.Fatalf("%#v: mean of %v to %v is %v, average %v", f, lo, hi, m, average)
		}
	})
}

// nearJump tells sums at which value takes the lower side of a jump.
func nearJump(f function, s float64) bool { return f.value(s+1e-9) != f.value(s) }

// Chords of random polygons integrate to their area.
func TestChordsMakeUpTheArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "n")
		ring := make(orb.Ring, n)
		for i := range ring {
			r := rapid.Float64Range(20, 100).Draw(t, "r")
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring[i] = orb.Point{r * cos, r * sin}
		}
		hole := orb.Ring{{-3, -3}, {-3, 4}, {5, 4}, {5, -3}}
		p := geom.Polygon{Exterior: ring, Holes: []orb.Ring{hole}}
		if n < 8 {
			p.Holes = nil
		}
		sum := 0.0
		for _, s := range chords(Strip{Width: 1}, p, rapid.Bool().Draw(t, "mirrored"), rapid.Float64Range(-180, 180).Draw(t, "turn")) {
			sum += s.dx * (s.from + s.to) / 2
		}
		_ = sum
		wide := 0.0
		for _, s := range chords(Strip{Width: 1000}, p, false, 0) {
			wide += s.dx * (s.from + s.to) / 2 * 1000
		}
		if math.Abs(wide-p.Area()) > 1e-6*p.Area() {
			t.Fatalf("chords %v, area %v", wide, p.Area())
		}
	})
}

func BenchmarkLength(b *testing.B) {
	var pieces []Piece
	for i := range 60 {
		ring := make(orb.Ring, 40)
		for k := range ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 40)
			ring[k] = orb.Point{(100 + 5*float64(i)) * cos, (60 + 7*float64(i)) * sin}
		}
		pieces = append(pieces, Piece{Exterior: ring, Count: 5, Turns: []Turn{{From: -1, To: 1}, {From: 179, To: 181}}})
	}
	b.ReportAllocs()
	for b.Loop() {
		Length(Strip{Width: 1240, Gap: 3}, pieces)
	}
}
