package drawing

// Limits on what is read, so that no file takes unbounded time or memory. A
// drawing beyond one of them is refused with a fault that names it.
const (
	// MaxFileBytes is the largest file taken.
	MaxFileBytes = 256 << 20
	// MaxCurves is the most curves (lines, arcs, Béziers) of one drawing, with
	// every block and symbol counted as often as it is drawn.
	MaxCurves = 2_000_000
	// MaxVertices is the most vertices of all outlines together, flattened.
	MaxVertices = 10_000_000
	// MaxInserts is the most block references or uses drawn, nested ones and
	// every place of an array counted.
	MaxInserts = 500_000
	// MaxPlaced is the most DXF entities of any kind drawn, counted likewise.
	MaxPlaced = 8_000_000
	// MaxDepth is how deep blocks, symbols and groups may nest.
	MaxDepth = 128
	// MaxElements is the most elements of an SVG document.
	MaxElements = 1_000_000
	// MaxEntityGroups is the most group codes of one DXF entity.
	MaxEntityGroups = 4_500_000
	// MaxTextBytes is the longest line or text kept of a DXF file.
	MaxTextBytes = 1 << 20
	// MaxProblems is how many problems are listed; further ones are counted.
	MaxProblems = 1000

	maxDegree = 24 // of a spline
)
