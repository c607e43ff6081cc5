package geom

const (
	// Grid is the integer grid of offsets and boolean operations, mm. At
	// 1e-4 mm the library's exact range of ±2^30 in its fast mode still spans
	// 107 m, and beyond that it changes to wide arithmetic.
	Grid = 1e-4
	// ChordDefault is how far a flattened curve may stand off the true one
	// where the job says nothing, mm.
	ChordDefault = 0.05
	// Coincident is the distance under which two vertices are one, mm: a
	// tenth of the finest line a knife can follow twice.
	Coincident = 1e-6
	// SamePlace is how far a vertex of a placed ply may lie from where another
	// rotation and place put it for both to be one, mm: shape, place and vertex
	// are each rounded to a millionth. The verifier allows a little more.
	SamePlace = 2.9e-6
	// CoordinateLimit is the largest coordinate taken, mm: a thousand metres.
	// Beyond it a drawing is in the wrong units, and float64 could no longer
	// tell nanometres apart.
	CoordinateLimit = 1e6
)
