package offcut

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// A Ground is one length of fabric to lay pieces on.
type Ground struct {
	Fabric *shapes.Fabric
	// Roll is the roll or remnant; a length of 0 means as much as needed.
	Roll shapes.Roll
	// From is where free fabric begins on the roll, mm.
	From float64
	// Remnant is the remnant that Roll stands for; nil for a roll.
	Remnant *remnant.Remnant
	// walls are parts of the roll's rectangle that are no fabric, mm from the
	// roll's free end and lower edge.
	walls []orb.Bound
}

// OfRoll is what is left of a roll; from is where free fabric begins. A roll
// that is a remnant is taken by its outline.
func OfRoll(f *shapes.Fabric, r shapes.Roll, from float64) Ground {
	g := Ground{Fabric: f, Roll: r, From: from}
	if r.Piece != nil {
		piece := remnant.OfRoll(&r)
		g.Remnant, g.walls = &piece, remnant.Walls(piece, wallStep)
	}
	return g
}

// wallStep is how finely the border of a remnant is followed, mm.
const wallStep = 5

// OfRemnant is a whole remnant, of whatever outline: the roll is its bounding
// box and what lies outside the outline is walled off.
func OfRemnant(f *shapes.Fabric, r remnant.Remnant) Ground {
	roll, _ := remnant.AsRoll(r, remnant.Limits{})
	g := OfRoll(f, roll, 0)
	g.Remnant = &r
	return g
}

// selvedge is what is never used of both edges, mm.
func (g *Ground) selvedge() float64 { return g.Fabric.SelvedgeOf(&g.Roll) }

// width is the whole width of the ground, mm.
func (g *Ground) width() float64 {
	if g.Roll.Width > 0 {
		return g.Roll.Width
	}
	return g.Fabric.Width
}

// room is the size of the rectangle plies may lie in, mm; the length is +Inf
// for as much as needed.
func (g *Ground) room(rules *shapes.Cutting) (length, width float64) {
	length = math.Inf(1)
	if g.Roll.Length > 0 {
		length = g.Roll.Length - g.From
	}
	if t := rules.Table; t != nil && t.Kind == shapes.StaticTable && t.Length > 0 {
		length = math.Min(length, t.Length)
	}
	if t := rules.Table; t != nil && t.Width > 0 && g.width() > t.Width {
		return 0, 0
	}
	return length - 2*rules.EndAllowance, g.width() - 2*g.selvedge()
}

// obstacles are flaws and walls in the coordinates of the strip that the packer
// sees: from the usable rectangle's lower left corner.
func (g *Ground) obstacles(rules *shapes.Cutting) []orb.Bound {
	dx, dy := g.From+rules.EndAllowance, g.selvedge()
	var out []orb.Bound
	for _, f := range g.Roll.Flaws {
		if f.To > g.From {
			out = append(out, orb.Bound{Min: orb.Point{f.From - dx, -dy}, Max: orb.Point{f.To - dx, g.width()}})
		}
	}
	for _, w := range g.walls {
		out = append(out, orb.Bound{Min: orb.Point{w.Min[0] - dx, w.Min[1] - dy}, Max: orb.Point{w.Max[0] - dx, w.Max[1] - dy}})
	}
	return out
}
