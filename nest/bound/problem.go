package bound

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
)

// A Piece is one kind of shape that has to be laid Count times.
type Piece struct {
	// Exterior and Holes are rings in either direction.
	Exterior orb.Ring
	Holes    []orb.Ring
	Count    int
	// Turns are the allowed rotations; empty means any, not mirrored.
	Turns []Turn
}

// A Turn is an interval of rotations, degrees, after mirroring y to -y where
// Mirrored is set. To - From of 360 or more means any angle.
type Turn struct {
	Mirrored bool
	From, To float64
}

// A Strip is Width across, and as long as needed.
type Strip struct {
	Width float64
	// Gap is the least distance between two pieces, not towards the edges.
	Gap float64
	// Blocked are stretches of x over the whole width where nothing may lie.
	Blocked [][2]float64
}

// slack is taken off every bound, relative: a thousand times the rounding of
// the sums it comes from.
const slack = 1e-12

// Length is a length of strip that no layout of all pieces can beat, in the
// problem's unit. It is 0 without pieces, and +Inf where a piece fits across
// the strip in no rotation.
func Length(s Strip, pieces []Piece) float64 {
	some := false
	for i := range pieces {
		some = some || pieces[i].Count > 0
	}
	if !some || !(s.Width > 0) {
		return 0
	}
	free := math.Max(byArea(s, pieces), byChords(s, pieces))
	best := math.Max(longest(s, pieces), s.beyond(free))
	return best * (1 - slack)
}

// beyond is how long the strip must be for so much of its length to be free of
// blocked stretches.
func (s Strip) beyond(free float64) float64 {
	spans := merged(s.Blocked)
	at := 0.0
	for _, b := range spans {
		if room := b[0] - at; free <= room {
			break
		} else if room > 0 {
			free -= room
		}
		at = math.Max(at, b[1])
	}
	if free <= 0 {
		return at
	}
	return at + free
}

// turns lists a piece's turns, each once as far as bounds go: none given is one
// of any angle. A half turn only swaps the strip's ends, and a shape mirrored
// and then turned by r is the mirror image, across the strip, of the shape
// turned by -r: neither changes what it takes along the strip or the lengths
// of its chords.
func (p *Piece) turns() []Turn {
	if len(p.Turns) == 0 {
		return []Turn{{From: 0, To: 360}}
	}
	var out []Turn
	for _, t := range p.Turns {
		if t.Mirrored {
			t = Turn{From: -t.To, To: -t.From}
		}
		by := float64(180 * math.Floor(t.From/180))
		t.From, t.To = t.From-by, t.To-by
		if !slices.ContainsFunc(out, func(o Turn) bool {
			return math.Abs(o.From-t.From) < sameTurn && math.Abs(o.To-t.To) < sameTurn
		}) {
			out = append(out, t)
		}
	}
	return out
}

// sameTurn is how near two angles, degrees, are one: at a metre it is far below
// the slack taken off every bound.
const sameTurn = 1e-12

// fixed reports whether the turn is a single rotation.
func (t Turn) fixed() bool { return t.To <= t.From }

// material is the piece's area less its cut-outs.
func (p *Piece) material() float64 { return geom.PolygonArea(p.Exterior, p.Holes) }
