package jobfile

import "plyroom/shapes"

// Defaults that depend on more than one key. The others stand in keys.go, as a
// job would write them.

// glassContent is the mass fraction of fibre that hand lay-up of a simple
// surface reaches, after ISO 12215-5 (published source, values from memory);
// 0 for what has no fibre.
func glassContent(c shapes.Construction) float64 {
	switch c {
	case shapes.Mat:
		return 0.30
	case shapes.Plain, shapes.Twill, shapes.Satin:
		return 0.48
	case shapes.Unidirectional:
		return 0.55
	case shapes.Biaxial, shapes.Triaxial, shapes.Quadraxial:
		return 0.50
	default:
		return 0
	}
}

// defaultOverlap is the doubled width of a lap whose job does not say, mm: the
// least overlap of mat in Rules for the Classification of FRP Ships (2014),
// part 17, 301. The default stagger of seams, 100 mm, is from the same place.
const defaultOverlap = 50

// layerCount is how many layers the name of a stitched fabric promises; 0
// where it promises none.
func layerCount(c shapes.Construction) int {
	switch c {
	case shapes.Biaxial:
		return 2
	case shapes.Triaxial:
		return 3
	case shapes.Quadraxial:
		return 4
	default:
		return 0
	}
}
