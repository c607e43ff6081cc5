package remnant

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// An Offer is a piece of a finished run that is worth keeping.
type Offer struct {
	Remnant Remnant
	// OnRoll tells that the piece is the rest of a roll and may stay on it.
	OnRoll bool
}

// OfferSettings say what is worth keeping.
type OfferSettings struct {
	// MinLength is the least length along the warp, mm; 0 takes the job's
	// shortest remnant.
	MinLength float64
	// MinWidth is the least width, mm; 0 takes DefaultMinWidth.
	MinWidth float64
	// Run is the digest of the record and Date the day the pieces were cut;
	// both are written into the remnants.
	Run  string
	Date shapes.Date
}

// DefaultMinWidth is the least width of a piece worth keeping where nothing is
// said, mm: narrower strips curl and fray at both edges.
const DefaultMinWidth = 200

// Offers lists what is worth keeping of a run: in each layout the largest
// rectangles between the plies, layer by layer, and what is left of each roll
// behind its last layout. Rolls without a stated length have no end to offer.
func Offers(rec *nest.Record, s OfferSettings) ([]Offer, error) {
	if s.MinLength == 0 {
		s.MinLength = rec.Rules.MinRemnant
	}
	if s.MinWidth == 0 {
		s.MinWidth = DefaultMinWidth
	}
	if !(s.MinLength >= 0) || !(s.MinWidth >= 0) {
		return nil, fmt.Errorf("the least length and width of a remnant are %g and %g mm; they must be numbers from 0", s.MinLength, s.MinWidth)
	}
	var out []Offer
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		for k := range l.Layers {
			ly := &l.Layers[k]
			if rec.Fabric(ly.Fabric) == nil {
				return nil, fmt.Errorf("layout %s: the record has no fabric %q", l.ID, ly.Fabric)
			}
			free := field(l, ly.Layer)
			if r := rollOf(rec.Fabric(ly.Fabric), ly.Roll); r != nil && r.Piece != nil && len(r.Piece.Outline) > 0 {
				free.Blocked = append(free.Blocked, outsideFrom(OfRoll(r), ly.RollFrom))
			}
			for _, b := range Rectangles(free, Limits{MinLength: s.MinLength, MinWidth: s.MinWidth}) {
				r := Remnant{Fabric: ly.Fabric, Roll: ly.Roll, Lot: ly.Lot, Face: ly.Face, Outline: corners(b), Cut: s.Date,
					From: &Origin{Job: rec.Job, Revision: rec.Revision, Run: s.Run, Layout: l.ID,
						Corner: nest.Point(b.Min), RollAt: nest.Round(ly.RollFrom + b.Min[0]), Date: rec.Date}}
				out = append(out, Offer{Remnant: r})
			}
			out = append(out, rest(rec, l, ly, s)...)
		}
	}
	for i := range out {
		out[i].Remnant.normalise()
	}
	return out, nil
}

// field is one layer of a layout as the knife leaves it.
func field(l *nest.Layout, layer int) Field {
	f := Field{Area: orb.Bound{Min: orb.Point(l.Usable[0]), Max: orb.Point(l.Usable[1])}}
	for _, w := range l.Flaws {
		f.Blocked = append(f.Blocked, nest.Polygon{Outline: corners(orb.Bound{
			Min: orb.Point{w.From, l.Usable[0][1]}, Max: orb.Point{w.To, l.Usable[1][1]}})})
	}
	for i := range l.Placed {
		if p := &l.Placed[i]; p.Layer == layer {
			f.Blocked = append(f.Blocked, nest.Polygon{Outline: p.Outline, Holes: p.Holes})
		}
	}
	return f
}

// rest is what is left of a layer's roll behind a layout, in stretches between
// flaws; nothing where another layout follows on the roll.
func rest(rec *nest.Record, l *nest.Layout, ly *nest.Layer, s OfferSettings) []Offer {
	fabric := rec.Fabric(ly.Fabric)
	roll := rollOf(fabric, ly.Roll)
	if roll == nil || roll.Length == 0 {
		return nil
	}
	from := ly.RollFrom + l.Length
	for i := range rec.Layouts {
		for _, o := range rec.Layouts[i].Layers {
			if o.Fabric == ly.Fabric && o.Roll == ly.Roll && o.RollFrom > ly.RollFrom {
				return nil
			}
		}
	}
	width := fabric.Width
	if roll.Width > 0 {
		width = roll.Width
	}
	flaws := slices.Clone(roll.Flaws)
	slices.SortFunc(flaws, func(a, b shapes.Span) int { return int(math.Copysign(1, a.From-b.From)) })
	flaws = append(flaws, shapes.Span{From: roll.Length, To: roll.Length})
	selvedge := fabric.SelvedgeOf(roll)
	var out []Offer
	if roll.Piece != nil && len(roll.Piece.Outline) > 0 {
		piece := OfRoll(roll)
		f := Field{Area: orb.Bound{Min: orb.Point{from, selvedge}, Max: orb.Point{roll.Length, width - selvedge}}, Blocked: []nest.Polygon{Outside(piece)}}
		for _, b := range Rectangles(f, Limits{MinLength: s.MinLength, MinWidth: s.MinWidth}) {
			out = append(out, Offer{Remnant: Remnant{Fabric: ly.Fabric, Roll: ly.Roll, Lot: ly.Lot, Face: ly.Face, Outline: corners(b), Cut: s.Date,
				From: &Origin{Job: rec.Job, Revision: rec.Revision, Run: s.Run, Layout: l.ID,
					Corner: nest.Point{nest.Round(b.Min[0] - ly.RollFrom), b.Min[1]}, RollAt: nest.Round(b.Min[0]), Date: rec.Date}}})
		}
		return out
	}
	start := from
	for _, w := range flaws {
		if w.From-start >= s.MinLength && w.From > start && width >= s.MinWidth {
			r := Remnant{Fabric: ly.Fabric, Roll: ly.Roll, Lot: ly.Lot, Face: ly.Face, Selvedge: selvedge, Cut: s.Date,
				Outline: Rectangle(w.From-start, width),
				From: &Origin{Job: rec.Job, Revision: rec.Revision, Run: s.Run, Layout: l.ID,
					Corner: nest.Point{nest.Round(start - ly.RollFrom), 0}, RollAt: nest.Round(start), Date: rec.Date}}
			out = append(out, Offer{Remnant: r, OnRoll: !IsID(ly.Roll)})
		}
		start = math.Max(start, w.To)
	}
	return out
}

func rollOf(f *shapes.Fabric, name string) *shapes.Roll {
	at := slices.IndexFunc(f.Rolls, func(r shapes.Roll) bool { return r.Name == name })
	if at < 0 {
		return nil
	}
	return &f.Rolls[at]
}

// outsideFrom is what lies about a remnant, seen from a layout that begins so
// far along it.
func outsideFrom(r Remnant, from float64) nest.Polygon {
	p := Outside(r)
	for _, ring := range append([]nest.Ring{p.Outline}, p.Holes...) {
		for i := range ring {
			ring[i][0] -= from
		}
	}
	return p
}

var idOnly = regexp.MustCompile(`^RM-[A-Z0-9]{8}$`)

// IsID reports whether a name is that of a remnant.
func IsID(text string) bool { return idOnly.MatchString(text) }

// Left lists what is worth keeping of a remnant after pieces were cut from it,
// given in its own coordinates, largest first. Selvedge is not kept.
func Left(r Remnant, taken []nest.Polygon, s OfferSettings) []Remnant {
	if s.MinWidth == 0 {
		s.MinWidth = DefaultMinWidth
	}
	length, width := r.Size()
	f := Field{Area: orb.Bound{Min: orb.Point{0, r.Selvedge}, Max: orb.Point{length, width - r.Selvedge}}, Blocked: taken}
	if !r.Rectangular() {
		f.Blocked = append(slices.Clone(taken), Outside(r))
	}
	var out []Remnant
	for _, b := range Rectangles(f, Limits{MinLength: s.MinLength, MinWidth: s.MinWidth}) {
		left := Remnant{Fabric: r.Fabric, Roll: r.Roll, Lot: r.Lot, Face: r.Face, Outline: corners(b), Cut: r.Cut, From: r.From, Note: "from " + r.ID}
		left.normalise()
		out = append(out, left)
	}
	return out
}
