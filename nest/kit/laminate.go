package kit

import "plyroom/shapes"

// Densities where a job says nothing, g/cm³. ISO 12215-5, value from memory
// (M).
const (
	GlassDensity = 2.56
	ResinDensity = 1.20
)

// A Laminate is what one piece, or one square metre, becomes when cured.
type Laminate struct {
	// Fibre, Resin and Mass are kg; Mass is both together.
	Fibre, Resin, Mass float64
	// Thickness is mm. It is 0, and so is Resin, where the fabric's fibre
	// content is not known.
	Thickness float64
}

// LaminateOf is what an area (mm²) of fabric becomes with resin of a density
// (g/cm³; 0 takes ResinDensity). It is nil where the fabric has no fibre.
//
// With w the fibre mass per area, kg/m², and ψ the fibre content by mass,
// the resin is w·(1−ψ)/ψ by definition of ψ, and the thickness is that of
// fibre and resin one beside the other without voids (law of mixtures):
//
//	t = w/ρf + w·(1−ψ)/(ψ·ρr)
//
// which for glass of 2.56 and resin of 1.20 g/cm³ is
// t = w/3.072·(2.56/ψ − 1.36), ISO 12215-5 (from memory, M; algebra, D).
func LaminateOf(area float64, f *shapes.Fabric, resinDensity float64) *Laminate {
	if f.ArealMass <= 0 {
		return nil
	}
	w := f.ArealMass / 1000
	m2 := area / 1e6
	lam := &Laminate{Fibre: w * m2}
	psi := f.GlassContent
	if psi > 0 && psi < 1 {
		rf, rr := f.FibreDensity, resinDensity
		if rf <= 0 {
			rf = GlassDensity
		}
		if rr <= 0 {
			rr = ResinDensity
		}
		resin := w * (1 - psi) / psi
		lam.Resin = resin * m2
		lam.Thickness = w/rf + resin/rr
	}
	lam.Mass = lam.Fibre + lam.Resin
	return lam
}
