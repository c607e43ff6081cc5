package shapes

// A Job is everything the shop says about one piece of work: what to cut, from
// which fabrics, under which rules. A Job that a reader returned without
// problems is complete and consistent: every ply points at its fabric and
// outline, and every figure is in the units of the package documentation.
type Job struct {
	// Name is the title printed on every document.
	Name string
	// Revision is the state of the job, printed on every document; may be
	// empty.
	Revision string
	// Date is the day the job is cut, against which rolls expire; empty where
	// the job does not say.
	Date Date
	// Currency is the unit of every price, as the job writes it, or empty.
	Currency string
	// Fabrics are in the order of the job file.
	Fabrics []*Fabric
	// Parts are in the order of the job file.
	Parts []*Part
	// Cutting holds the rules of the cutting table.
	Cutting Cutting
	// Laminating holds the laminator's figures; nil where the job has none.
	Laminating *Laminating
	// File is the path the job was read from, for messages.
	File string
	// Notes are remarks a reader made while accepting the job, such as a
	// direction given for a mat and not used.
	Notes []string
}

// A Part is one thing to be laminated in one mould, made Units times.
type Part struct {
	Name string
	// Units is how many of the part the job makes, at least 1.
	Units int
	// Revision is the part's own drawing revision, or empty for the job's.
	Revision string
	// Stops are the planned pauses of the lay-up, in its order.
	Stops []Stop
	// Plies are sorted by lay-up order, then by their place in the file.
	Plies []*Ply
}

// A Ply is one line of a part's lay-up: a shape cut from a fabric in one
// direction, Count times per unit.
type Ply struct {
	// Order is the place in the lay-up; 1 is laid first, against the tool.
	Order int
	// Name identifies the ply within its part.
	Name string
	// Outline is the shape as drawn (net).
	Outline *Outline
	// Fabric is what it is cut from.
	Fabric *Fabric
	// Direction is the angle of the warp as laid, degrees from the datum.
	Direction float64
	// Tolerance is how far the laid direction may be off, degrees either way.
	Tolerance float64
	// Count is how many pieces of this ply one unit needs, at least 1.
	Count int
	// OppositeHand is how many of Count are of the opposite hand.
	OppositeHand int
	// Trim is added all round the outline before cutting, mm.
	Trim float64
	// Split says how the ply may be divided into panels; nil: not at all.
	Split *Split
	// Bag is the kit bag or tube the ply is packed in, or empty.
	Bag string
	// Note is free text for the laminator, or empty.
	Note string
	// File and Line say where the job lists the ply, for messages.
	File string
	Line int
}

// JointKind says how two panels of a divided ply meet.
type JointKind string

// The joints of trade practice.
const (
	JointLap  JointKind = "lap"
	JointButt JointKind = "butt"
)

// A Split allows a ply to be cut in panels.
type Split struct {
	Joint JointKind `json:"joint"`
	// Overlap is the doubled width of a lap, mm, half on each side of the seam.
	Overlap float64 `json:"overlap"`
	// MinPanel is the narrowest panel allowed, mm.
	MinPanel float64 `json:"min_panel,omitempty"`
	// Stagger is the least distance between seams of consecutive plies of one
	// outline, mm.
	Stagger float64 `json:"stagger,omitempty"`
	// Seams are positions the job asks for, mm across the warp; empty: free.
	Seams []float64 `json:"seams,omitempty"`
	// Allowed lets the planner divide a ply that would fit whole.
	Allowed bool `json:"allowed,omitempty"`
	// MinSaving is the least length of the roll, mm, that each seam of a ply
	// divided on purpose has to save.
	MinSaving float64 `json:"min_saving,omitempty"`
	// Beside are the seams of plies of the same outline laid just before and
	// after it that are settled already, to keep the stagger from.
	Beside []Seams `json:"-"`
}

// Seams are where a ply was divided.
type Seams struct {
	// AxisDeg is the direction of the warp in the outline's frame, degrees.
	AxisDeg float64
	// Along are the places of seams along it and Across of seams across it,
	// mm, in the outline's frame turned by -AxisDeg.
	Along, Across []float64
}
