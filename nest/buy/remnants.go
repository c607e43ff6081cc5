package buy

import (
	"slices"

	"plyroom/nest/account"
)

// Remnants are the free pieces of a store, which are used before any roll. A
// nil *Remnants is none.
type Remnants struct {
	// Lay lays a job on the remnants first, and on new fabric what they do not
	// hold.
	Lay Layer
	// IDs name the remnants, as the layers of a record name their rolls.
	IDs []string
}

func (r *Remnants) holds(roll string) bool { return r != nil && slices.Contains(r.IDs, roll) }

// OnRemnant is what lies on one remnant of a store.
type OnRemnant struct {
	Fabric string `json:"fabric"`
	ID     string `json:"remnant"`
	Lot    string `json:"lot,omitempty"`
	Plies  int    `json:"plies"`
	// Length and Width are those of the layout, mm; Area is that of the plies,
	// m².
	Length float64 `json:"length_mm"`
	Width  float64 `json:"width_mm"`
	Area   float64 `json:"plies_m2"`
}

// onRemnant reads a layout that lies on a remnant.
func onRemnant(b account.LayoutBooks) OnRemnant {
	ly := &b.Layout.Layers[b.Layer]
	out := OnRemnant{Fabric: ly.Fabric, ID: ly.Roll, Lot: ly.Lot, Length: b.Layout.Length, Width: b.Layout.Width, Area: b.Books.PliesNet / 1e6}
	for i := range b.Layout.Placed {
		if b.Layout.Placed[i].Layer == ly.Layer {
			out.Plies++
		}
	}
	return out
}

// onRemnants is the net area of plies of a fabric that lie on remnants, mm².
func (n *Needs) onRemnants(fabric string) float64 {
	sum := 0.0
	for _, r := range n.Remnants {
		if r.Fabric == fabric {
			sum += float64(r.Area * 1e6)
		}
	}
	return sum
}
