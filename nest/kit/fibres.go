package kit

import "plyroom/shapes"

// fibres lists the straight fibres of a piece as laid, tool side first. The
// warp lies at laid. Upside down, the stack runs the other way and the angle
// of every layer changes sign.
func fibres(f *shapes.Fabric, laid float64, upsideDown bool) []shapes.FabricLayer {
	var stack []shapes.FabricLayer
	switch {
	case f.Construction.Directionless():
		return nil
	case f.Construction.Woven():
		stack = []shapes.FabricLayer{{Angle: 0, Mass: f.ArealMass / 2}, {Angle: 90, Mass: f.ArealMass / 2}}
	case len(f.Layers) > 0:
		stack = f.Layers
	case f.Construction == shapes.Unidirectional:
		stack = []shapes.FabricLayer{{Angle: 0, Mass: f.ArealMass}}
	}
	out := make([]shapes.FabricLayer, len(stack))
	for i, s := range stack {
		if upsideDown {
			out[len(stack)-1-i] = shapes.FabricLayer{Angle: shapes.NormalDirection(laid - s.Angle), Mass: s.Mass}
		} else {
			out[i] = shapes.FabricLayer{Angle: shapes.NormalDirection(laid + s.Angle), Mass: s.Mass}
		}
	}
	return out
}
