package drawing

import (
	"github.com/paulmach/orb"

	"plyroom/shapes"
)

// Format is the kind of file a drawing was read from.
type Format string

// The formats read.
const (
	DXF Format = "DXF"
	SVG Format = "SVG"
)

// A Drawing is what was read from one file.
type Drawing struct {
	// File is the path as the user gave it.
	File string
	// Format is the kind of file; empty where it could not be told.
	Format Format
	// Version is what the file says of its own version, or empty.
	Version string
	// Unit is the unit of the drawing.
	Unit Unit
	// Outlines are the plies drawn, in the order of the file, in millimetres.
	Outlines []*shapes.Outline
	// Problems lists repairs, doubts and faults in the order they were met.
	// Places are in the drawing's own units.
	Problems shapes.Problems
	// PassedOver lists what was not used, by kind and reason.
	PassedOver []PassedOver

	// toMM maps the drawing's own coordinates to millimetres, y up.
	toMM affine
	// loose are lines that belong to no outline, mm, for the picture.
	loose []orb.LineString
	// placed are the outlines where they were drawn, before any datum turned
	// them, for the picture.
	placed []*shapes.Outline
}

// Unit is the unit of length of a drawing.
type Unit struct {
	// Name is as the file or the job states it, such as "mm" or "px at 96 per
	// inch"; empty where it is not known.
	Name string
	// Millimetres is the length of one unit; 0 where it is not known.
	Millimetres float64
	// FromFile says that the file itself states the unit.
	FromFile bool
}

// PassedOver counts entities or elements of one kind that were not used.
type PassedOver struct {
	// Kind is the entity or element name, as the file writes it.
	Kind string
	// Why is the reason, such as "layer frozen".
	Why string
	// Count is how many there were.
	Count int
	// First is the handle or id of the first, or empty.
	First string
}

// Options say how a drawing is read. The zero value is right for drawings that
// state their unit.
type Options struct {
	// Unit overrides the file's: mm, cm, m, in or ft; empty takes the file's.
	// For SVG it is the length of one unit of the document's outermost
	// coordinates.
	Unit string
	// PxPerInch is how many px an SVG drawing counts per inch, where the
	// document does not state its size in a physical unit: 96, 90 or 72; 0
	// asks for it.
	PxPerInch float64
	// Chord is how far a flattened curve may stand off the true one, mm; 0
	// means geom.ChordDefault, and nothing below geom.Grid is taken.
	Chord float64
	// Join is the distance within which ends of lines are one point, mm; 0
	// means JoinDefault.
	Join float64
	// Gap is the widest gap between ends that is closed, and reported, mm; 0
	// means GapDefault, negative closes none.
	Gap float64
	// Names is the order in which sources of an outline's name are tried; nil
	// means NamesDefault.
	Names []NameSource
	// PerLayer treats every layer (SVG: every layer or outermost group) as a
	// drawing of its own, for drawings that show plies over one another.
	PerLayer bool
	// Entry is the drawing's path as a job writes it, for remedies; where it is
	// empty no job lists the drawing and remedies name the command's flags.
	Entry string
}

const (
	// JoinDefault is the distance within which ends are one point, mm: a few
	// of the last digit that drawing programs usually write.
	JoinDefault = 0.02
	// GapDefault is the widest gap that is closed and reported, mm: below what
	// anybody draws on purpose on a ply.
	GapDefault = 1.0
)
