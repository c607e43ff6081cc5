package verify_test

import (
	"math"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// onRemnant is one ply on an L-shaped remnant that has lost its selvedge:
//
//	+--------+ 800
//	|        |
//	|        +-----+ 400
//	|   ply        |
//	+--------------+ 1000
func onRemnant() *bench {
	b := newBench()
	b.layout("WR 600")
	f := b.fabric("WR 600")
	f.Rolls = []shapes.Roll{{Name: "RM-AAAAAAAA", Length: 1000, Width: 800, Piece: &shapes.Piece{
		Outline: [][2]float64{{0, 0}, {1000, 0}, {1000, 400}, {600, 400}, {600, 800}, {0, 800}}}}}
	b.rec.Layouts[0].Layers[0].Roll = "RM-AAAAAAAA"
	b.shape("ply", nest.Polygon{Outline: nest.Ring{{0, 0}, {700, 0}, {700, 390}, {0, 390}}})
	b.piece(lay{ply: "A", shape: "ply", order: 1, x: 20, y: 0})
	return b
}

func TestPliesLieInTheirRemnant(t *testing.T) {
	settled := func() (*bench, *nest.Record) {
		b := onRemnant()
		r := b.finish()
		l := &r.Layouts[0]
		l.Width, l.Usable = 800, [2]nest.Point{{20, 0}, {l.Length - 20, 800}}
		return b, r
	}
	_, r := settled()
	mustPass(t, r)
	// The rules' own selvedge is not lost again; the remnant's is.
	_, r = settled()
	r.Fabrics[1].Rolls[0].Piece.Selvedge = 5
	mustBreak(t, r, verify.RuleInside, "usable area begins at y")
	// Up into the corner that is not there.
	b, r := settled()
	move(b, r, 0, 0, 20)
	mustBreak(t, r, verify.RuleInside, "the ply reaches 10 mm out of remnant RM-AAAAAAAA", "A")
	// The same ply on a remnant of which less is there.
	_, r = settled()
	r.Fabrics[1].Rolls[0].Piece.Outline[2][1], r.Fabrics[1].Rolls[0].Piece.Outline[3][1] = 385, 385
	mustBreak(t, r, verify.RuleInside, "the ply reaches 5 mm out of remnant", "A")
	for words, change := range map[string]func(r *shapes.Roll){
		"spans (0, 0) to (1000, 800), not its 990 by 800 mm": func(r *shapes.Roll) { r.Length = 990 },
		"has a selvedge of -1 mm":                            func(r *shapes.Roll) { r.Piece.Selvedge = -1 },
		"is 0 mm long":                                       func(r *shapes.Roll) { r.Length = 0 },
		"of 2 distinct vertices":                             func(r *shapes.Roll) { r.Piece.Outline = r.Piece.Outline[:2] },
		"is not a number within":                             func(r *shapes.Roll) { r.Piece.Outline[0][0] = math.NaN() },
	} {
		_, r = settled()
		change(&r.Fabrics[1].Rolls[0])
		mustBreak(t, r, verify.RuleRecord, words)
	}
}
