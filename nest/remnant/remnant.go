package remnant

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Format is the version of the files this package writes.
const Format = 1

// Faces as a remnant's file names them: which face of the fabric lies up where
// the outline is seen as it is stored.
const (
	FaceUp   = "up"
	FaceDown = "down"
)

// A Remnant is one piece of fabric.
type Remnant struct {
	Format int `json:"format"`
	// ID names the remnant for good; a store has each once.
	ID     string `json:"id"`
	Fabric string `json:"fabric"`
	// Roll and Lot say what it was cut from; empty where that is not known.
	Roll string `json:"roll,omitempty"`
	Lot  string `json:"lot,omitempty"`
	// Face is FaceUp or FaceDown.
	Face string `json:"face"`
	// Outline is the usable piece, counter-clockwise, mm; x runs along the
	// warp and the lower left corner of its bounding box is at the origin.
	Outline nest.Ring `json:"outline"`
	// Selvedge is how much of the outline along both long edges is the
	// fabric's selvedge, mm; 0 for a piece from the inside of a layout.
	Selvedge float64 `json:"selvedge,omitempty"`
	// Cut is the day it was cut off; empty where that is not known.
	Cut shapes.Date `json:"cut,omitempty"`
	// From says where it was left over; nil where somebody entered it.
	From *Origin `json:"from,omitempty"`
	Note string  `json:"note,omitempty"`
}

// An Origin is the layout a remnant was left over from.
type Origin struct {
	Job      string `json:"job"`
	Revision string `json:"revision,omitempty"`
	// Run is the digest of the run's record.
	Run    string `json:"run"`
	Layout string `json:"layout"`
	// Corner is where the outline's origin lay in the layout, mm, and RollAt
	// how far along the roll that was.
	Corner nest.Point `json:"corner"`
	RollAt float64    `json:"roll_at"`
	// Date is the job's; empty where it has none.
	Date shapes.Date `json:"date,omitempty"`
}

// An End says what became of a remnant.
type End struct {
	// Job is what it was used for; empty where it was discarded.
	Job string `json:"job,omitempty"`
	// Record is the path of the file that shows the use, and Digest the
	// SHA-256 of its bytes, in hexadecimal.
	Record string `json:"record,omitempty"`
	Digest string `json:"digest,omitempty"`
	// Date is the day of it; empty where that is not known.
	Date shapes.Date `json:"date,omitempty"`
	// Why is a remark of the person who discarded it.
	Why string `json:"why,omitempty"`
	// Discarded tells throwing away from use.
	Discarded bool `json:"discarded,omitempty"`
}

// Size is the length along the warp and the width of the bounding box, mm.
func (r *Remnant) Size() (length, width float64) {
	b := geom.Bound(toOrb(r.Outline))
	return b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]
}

// Area is the area of the outline, mm².
func (r *Remnant) Area() float64 { return geom.Area(toOrb(r.Outline)) }

// Rectangular reports whether the outline is its own bounding box.
func (r *Remnant) Rectangular() bool {
	length, width := r.Size()
	return math.Abs(float64(length*width)-r.Area()) <= 1e-3
}

// normalise moves the outline to the origin, opens and orders its ring, and
// rounds it.
func (r *Remnant) normalise() {
	ring := geom.Oriented(geom.Clean(toOrb(r.Outline)), true)
	b := geom.Bound(ring)
	out := make(nest.Ring, len(ring))
	for i, p := range ring {
		out[i] = nest.Point{nest.Round(p[0] - b.Min[0]), nest.Round(p[1] - b.Min[1])}
	}
	r.Outline = out
	r.Format = Format
}

// largest bounds the size of a remnant: no roll is longer than a kilometre.
const largest = 1e6

// validate says what is wrong with a remnant, or nil.
func (r *Remnant) validate() error {
	switch {
	case r.Format != Format:
		return fmt.Errorf("remnant format %d; this plyroom reads format %d", r.Format, Format)
	case strings.TrimSpace(r.Fabric) == "":
		return fmt.Errorf("a remnant needs the name of its fabric")
	case r.Face != FaceUp && r.Face != FaceDown:
		return fmt.Errorf("the face of a remnant is %q; it must be up or down", r.Face)
	case len(r.Outline) < 3:
		return fmt.Errorf("the outline has %d corners; it needs three", len(r.Outline))
	case !(r.Selvedge >= 0) || r.Selvedge > largest:
		return fmt.Errorf("the selvedge is %g mm; it must be a number from 0", r.Selvedge)
	}
	for _, p := range r.Outline {
		if !(math.Abs(p[0]) <= largest) || !(math.Abs(p[1]) <= largest) {
			return fmt.Errorf("the outline has a corner at (%g, %g), which is no place on a roll", p[0], p[1])
		}
	}
	ring := toOrb(r.Outline)
	if at, found := geom.SelfIntersection(ring); found {
		return fmt.Errorf("the outline crosses itself at (%.1f, %.1f)", at[0], at[1])
	}
	if geom.Area(ring) < 1 {
		return fmt.Errorf("the outline encloses no area")
	}
	if r.Cut != "" {
		if _, err := shapes.ParseDate(string(r.Cut)); err != nil {
			return err
		}
	}
	return nil
}

// Rectangle is the outline of a rectangular remnant, mm.
func Rectangle(length, width float64) nest.Ring {
	return nest.Ring{{0, 0}, {length, 0}, {length, width}, {0, width}}
}

func toOrb(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
