package kit

import "plyroom/shapes"

// A Packing says how a piece travels from the table to the mould.
type Packing struct {
	// Rolled pieces go round a tube; others lie flat.
	Rolled bool
	// NoFold says that the piece must not be folded across its fibres.
	NoFold bool
}

// FlatLimit is the longest side of a piece that is packed flat where the
// caller says nothing, mm. Common practice, no source (C): what lies on one
// bench board and is carried by one person.
const FlatLimit = 1200.0

// Word is "rolled" or "flat".
func (p Packing) Word() string {
	if p.Rolled {
		return "rolled"
	}
	return "flat"
}

// String is the whole advice: "rolled, no fold across the fibre".
func (p Packing) String() string {
	if p.NoFold {
		return p.Word() + ", no fold across the fibre"
	}
	return p.Word()
}

// packing advises on one piece. Straight fibre creases where it is folded
// across, so unidirectional fabric never is; core is never rolled.
func packing(f *shapes.Fabric, cut Size, limit float64) Packing {
	return Packing{
		Rolled: f.Construction != shapes.Core && max(cut.X, cut.Y) > limit,
		NoFold: f.Construction == shapes.Unidirectional,
	}
}
