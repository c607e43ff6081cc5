package verify

// Lengths are millimetres, angles degrees, unless a comment says otherwise.
const (
	// Grid is the lattice on which plies are compared, mm. It is the last
	// decimal a record keeps, so that snapping a record changes nothing.
	Grid = 1e-6

	// MaxCoordinate is the largest coordinate accepted, mm: 10¹⁵ lattice
	// units, so that differences are exact as float64 and products of two
	// differences fit 128 bits. It is a thousand kilometres.
	MaxCoordinate = 1e9

	// RoundingAllowance is how deep the boundary of one ply may reach into
	// another, or past the usable edge, mm. Three lattice units: rounding moves
	// a vertex by at most half a unit along each axis, 0.71 units in all, and
	// two plies that touch are both rounded; the rest is what a search may take
	// for touching, 0.6 units where plies or rolls measure three metres.
	RoundingAllowance = 3e-6

	// GapTolerance is how much a gap may fall short, mm. No knife resolves a
	// micrometre.
	GapTolerance = 1e-3

	// LengthTolerance is how far two lengths that should be equal may differ,
	// mm: one is the sum or difference of up to three rounded figures.
	LengthTolerance = 2e-6

	// VertexTolerance is how far a placed vertex may lie from where the
	// shape, the rotation and the position put it, mm: shape, position and
	// vertex are each rounded (0.71 units), with a little to spare.
	VertexTolerance = 3e-6

	// TurnTolerance is added to VertexTolerance for each millimetre between
	// the vertex and the shape's origin, radians: half a unit of the ninth
	// decimal of a degree, which a record keeps of a rotation, is 8.73e-12.
	TurnTolerance = 1e-11

	// AngleTolerance is how far a deviation may pass its limit, and how far
	// two angles or masses of fabric layers may differ and still be equal,
	// degrees and g/m²: the last decimal of a record.
	AngleTolerance = 1e-6

	// RecordedAngleTolerance is how far a recorded laid direction or
	// deviation may differ from the one computed here, degrees: rotation,
	// direction and the figure itself are each rounded.
	RecordedAngleTolerance = 2e-6

	// LengthSlack is how much longer than its plies need a layout may be, mm:
	// a planner may round the length up to the whole millimetre.
	LengthSlack = 1

	// TrimTolerance is how much the trim may fall short, and how far net and
	// cut shape may differ where there is none, mm: offsetting and clipping
	// work on lattices of their own, and curves are flattened.
	TrimTolerance = 0.01

	// PanelTolerance is how far a panel may pass its field between the seams,
	// mm: panels are clipped on a lattice of 10⁻⁴ mm at best.
	PanelTolerance = 1e-3

	// SeamTolerance is how much of a seam may have a panel on one side only,
	// mm: an edge that crosses the seam at a flat angle meets it anywhere
	// within some multiple of PanelTolerance, and slivers are dropped.
	SeamTolerance = 1

	// SlitTolerance is how far the slits of a pair cut at once may lie apart,
	// mm: no knife resolves a micrometre.
	SlitTolerance = 1e-3

	// MaxFindings is how many violations between plies are listed for one
	// layer of one layout; a pile of plies on one spot would else take
	// minutes to describe.
	MaxFindings = 500
)
