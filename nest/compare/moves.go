package compare

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/shapes/steady"
)

// How far a ply may shift or turn and still lie where it lay.
const (
	stillWithin  = 1.0 // mm
	stillTurning = 0.1 // degrees
)

// A Move is a ply that lies elsewhere than in the first run.
type Move struct {
	nest.Key
	Fabric string
	// From and To are layouts.
	From, To string
	// Shift is how far its origin moved, mm, within one layout; NaN where the
	// layouts differ.
	Shift float64
	// Turn is how far it is turned, degrees in [-180, 180).
	Turn float64
	// Flipped says that it is cut on the other face.
	Flipped bool
}

// String says what became of the ply.
func (m Move) String() string {
	s := m.Key.String() + ": "
	if m.From != m.To {
		s += "from " + m.From + " to " + m.To
	} else {
		s += fmt.Sprintf("%.0f mm away in %s", m.Shift, m.To)
	}
	if math.Abs(m.Turn) > stillTurning {
		s += fmt.Sprintf(", turned by %.1f°", m.Turn)
	}
	if m.Flipped {
		s += ", on the other face"
	}
	return s
}

// Moves lists the plies of b that lie elsewhere than in a, in the order of b's
// layouts. Plies that only one of them has are left out.
func Moves(a, b *nest.Record) []Move {
	type at struct {
		layout string
		p      *nest.Placed
	}
	where := map[nest.Key]at{}
	for i := range a.Layouts {
		for k := range a.Layouts[i].Placed {
			p := &a.Layouts[i].Placed[k]
			where[p.Key()] = at{a.Layouts[i].ID, p}
		}
	}
	var out []Move
	for i := range b.Layouts {
		for k := range b.Layouts[i].Placed {
			p := &b.Layouts[i].Placed[k]
			w, ok := where[p.Key()]
			if !ok {
				continue
			}
			m := Move{Key: p.Key(), Fabric: p.Fabric, From: w.layout, To: b.Layouts[i].ID,
				Shift: steady.Hypot(w.p.X-p.X, w.p.Y-p.Y), Turn: turned(w.p.RotationDeg, p.RotationDeg), Flipped: w.p.TurnedOver != p.TurnedOver}
			if m.From == m.To && m.Shift <= stillWithin && math.Abs(m.Turn) <= stillTurning && !m.Flipped {
				continue
			}
			if m.From != m.To {
				m.Shift = math.NaN()
			}
			out = append(out, m)
		}
	}
	return out
}

// turned is the angle from a to b, degrees in [-180, 180).
func turned(a, b float64) float64 {
	d := math.Mod(b-a, 360)
	switch {
	case d >= 180:
		d -= 360
	case d < -180:
		d += 360
	}
	return d
}
