package shapes

// Construction is how a fabric is built.
type Construction string

// Constructions a job may name. Film and core carry no fibre and no direction.
const (
	Mat            Construction = "mat"
	Unidirectional Construction = "unidirectional"
	Plain          Construction = "plain"
	Twill          Construction = "twill"
	Satin          Construction = "satin"
	Biaxial        Construction = "biaxial"
	Triaxial       Construction = "triaxial"
	Quadraxial     Construction = "quadraxial"
	Film           Construction = "film"
	Core           Construction = "core"
)

// Constructions lists every construction, in the order documents show them.
var Constructions = []Construction{Mat, Unidirectional, Plain, Twill, Satin, Biaxial, Triaxial, Quadraxial, Film, Core}

// Stitched reports whether the fabric is a stack of straight layers held by
// stitches, bottom to top.
func (c Construction) Stitched() bool {
	return c == Unidirectional || c == Biaxial || c == Triaxial || c == Quadraxial
}

// Woven reports whether warp and weft are interlaced in one layer.
func (c Construction) Woven() bool { return c == Plain || c == Twill || c == Satin }

// Directionless reports whether every angle is as good as another.
func (c Construction) Directionless() bool { return c == Mat || c == Film || c == Core }

// Faces says whether the two sides of a fabric are alike.
type Faces string

// SameFaces allows a ply to be turned over where its stack survives that;
// DifferentFaces forbids it.
const (
	SameFaces      Faces = "same"
	DifferentFaces Faces = "different"
)

// A FabricLayer is one layer of straight fibre in a stitched fabric.
type FabricLayer struct {
	// Angle is relative to the warp, face up, degrees counter-clockwise.
	Angle float64 `json:"angle"`
	// Mass is the layer's areal mass, g/m².
	Mass float64 `json:"mass"`
}

// A Fabric is a material that comes on rolls.
type Fabric struct {
	Name         string       `json:"name"`
	Construction Construction `json:"construction"`
	// ArealMass is fibre mass per area, g/m²; 0 for what has no fibre.
	ArealMass float64 `json:"areal_mass_g_m2"`
	// GlassContent is the mass fraction of fibre in the cured laminate, in
	// (0, 1); 0 where there is no fibre.
	GlassContent float64 `json:"glass_content"`
	// FibreDensity is g/cm³; 2.56 (E-glass) where the job says nothing.
	FibreDensity float64 `json:"fibre_density_g_cm3"`
	// Width is the whole width of the roll, mm, selvedges included.
	Width float64 `json:"width"`
	// Selvedge is the width at each edge that is never used for plies, mm.
	Selvedge float64 `json:"selvedge"`
	Faces    Faces   `json:"faces"`
	// Balanced says that warp and weft of a weave carry the same.
	Balanced bool `json:"balanced,omitempty"`
	// DiagonalFree says that the direction of a twill's diagonal does not
	// matter to this job.
	DiagonalFree bool `json:"diagonal_free,omitempty"`
	// LayerOrderMatters says that an opposite hand needs the true mirrored
	// stack, not only the negated direction.
	LayerOrderMatters bool `json:"layer_order_matters,omitempty"`
	// Layers are the layers of a stitched fabric, bottom to top, face up.
	Layers []FabricLayer `json:"layers,omitempty"`
	// WarpPositions, where the job states them, are the warp angles relative
	// to the asked direction that count as the same, degrees in [0, 360). They
	// replace what the construction implies.
	WarpPositions []float64 `json:"warp_positions,omitempty"`
	// Price is what the fabric costs; nil where the job says nothing.
	Price *Price `json:"price,omitempty"`
	// DeliveryLength is the length of a roll as bought, mm; 0 unknown.
	DeliveryLength float64 `json:"delivery_length,omitempty"`
	// OutLife is how long the fabric may be out of the freezer between delivery
	// and cure, minutes, summed over all outings; 0 for what needs no freezer.
	OutLife float64 `json:"out_life_min,omitempty"`
	// Buying says how it is bought; nil where the job says nothing.
	Buying *Buying `json:"-"`
	// Rolls are the rolls on the rack. With none, as much as needed is taken
	// from a roll that is not named.
	Rolls []Roll `json:"rolls,omitempty"`
}

// FaceDown reports whether the rolls of the fabric unroll with their face
// towards the table; mixed reports that some do and some do not.
func (f *Fabric) FaceDown() (down, mixed bool) {
	for i, r := range f.Rolls {
		if i > 0 && r.FaceDown != down {
			return down, true
		}
		down = r.FaceDown
	}
	return down, false
}

// UsableWidth is the width plies may lie in on a roll of full width, mm.
func (f *Fabric) UsableWidth() float64 { return f.Width - 2*f.Selvedge }

// PriceUnit is what a price is paid for.
type PriceUnit string

// The units fabric and resin are bought in.
const (
	PerSquareMetre PriceUnit = "m2"
	PerKilogram    PriceUnit = "kg"
	PerMetre       PriceUnit = "m"
	PerRoll        PriceUnit = "roll"
)

// A Price is an amount of the job's currency per unit.
type Price struct {
	Amount float64   `json:"amount"`
	Per    PriceUnit `json:"per"`
}

// A Roll is one roll on the rack.
type Roll struct {
	Name string `json:"roll"`
	Lot  string `json:"lot,omitempty"`
	// Length is what is left on the roll, mm; 0 means as much as needed.
	Length float64 `json:"length"`
	// Width is the roll's own width where it differs from the fabric's, mm; 0
	// means the fabric's.
	Width float64 `json:"width,omitempty"`
	// FaceDown says that the roll unrolls with its face towards the table.
	FaceDown bool `json:"face_down,omitempty"`
	// Flaws are stretches not to be used, measured from the free end.
	Flaws []Span `json:"flaws,omitempty"`
	// OutUsed is how long the roll has been out of the freezer so far, minutes.
	OutUsed float64 `json:"out_used_min,omitempty"`
	// Thaw is how long the roll must stand closed before it is opened, minutes.
	Thaw float64 `json:"thaw_min,omitempty"`
	// Expires is the last day the roll may be used.
	Expires Date `json:"expires,omitempty"`
	// Received is the day the roll came; empty where nobody knows. Older lots
	// are used first.
	Received Date `json:"-"`
	// Reserved is the length other jobs need of it, mm.
	Reserved float64 `json:"-"`
	// Remnant marks a piece that came back from the table.
	Remnant bool `json:"-"`
	// Piece says that this is no roll but one piece of fabric that was left
	// over; nil for a roll.
	Piece *Piece `json:"piece,omitempty"`
}

// A Piece is what a remnant has of its own, in place of its fabric's.
type Piece struct {
	// Selvedge is what is left of it at both long edges, mm.
	Selvedge float64 `json:"selvedge"`
	// Outline is the fabric that is there, counter-clockwise, mm: x from where
	// the roll's free end would be, y from its lower edge. It spans the
	// length and the width; empty where the piece is that whole rectangle.
	Outline [][2]float64 `json:"outline,omitempty"`
}

// SelvedgeOf is the selvedge at both edges of one of the fabric's rolls, mm; r
// may be nil.
func (f *Fabric) SelvedgeOf(r *Roll) float64 {
	if r != nil && r.Piece != nil {
		return r.Piece.Selvedge
	}
	return f.Selvedge
}

// A Span is a stretch along a roll, mm from its free end.
type Span struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
}
