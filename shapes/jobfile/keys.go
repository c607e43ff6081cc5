package jobfile

import (
	"fmt"

	"plyroom/shapes"
	"plyroom/shapes/drawing"
)

// A kind is what a key takes.
type kind int

const (
	textKind     kind = iota // a name or free text
	flagKind                 // true or false
	wholeKind                // a whole number
	shareKind                // a plain number without unit
	quantityKind             // a figure with or without its unit
	wordKind                 // one of a few words
	mapKind                  // a mapping with keys of its own
	listKind                 // a list of one kind of value
	priceKind                // a figure with or without "per kg", or a mapping
	splitKind                // "lap 50 mm", "butt" or "allowed", or a mapping
	dateKind                 // a day, 2027-03-01
	clockKind                // a time of day, 07:30
)

// A value describes what may stand behind a key.
type value struct {
	kind     kind
	quantity shapes.Quantity
	words    []string
	// min and max bound a figure, in the quantity's own unit; above leaves min
	// itself out, below leaves max itself out.
	min, max     float64
	above, below bool
	// keys belong to a mapping.
	keys *form
	// of is what a list holds.
	of *value
	// single lets one value stand where a list of them may.
	single bool
	// short is what may stand in place of a mapping.
	short *value
	// least is how many values a list must hold.
	least int
	// long lets a text run over lines.
	long bool
}

// A key is one key of a mapping.
type key struct {
	name string
	// doc is one line for editors and documentation.
	doc string
	value
	required bool
	// fallback is the value of a missing key, as a job would write it; empty
	// where missing means something of its own, which doc then says.
	fallback string
}

// A form is a mapping of a job file: what it is called in messages and which
// keys it takes.
type form struct {
	name string
	doc  string
	keys []key
	// eitherOf lists keys of which exactly one must be there.
	eitherOf []string
}

func (f *form) find(name string) *key {
	for i := range f.keys {
		if f.keys[i].name == name {
			return &f.keys[i]
		}
	}
	return nil
}

func (f *form) names() []string {
	names := make([]string, len(f.keys))
	for i, k := range f.keys {
		names[i] = k.name
	}
	return names
}

// Bounds beyond which a figure is a slip of the pen or the wrong unit. They
// are generous: the widest loom weaves a few metres, a roll holds some hundred.
const (
	maxWidth   = 20_000    // mm, of a roll or table
	maxLength  = 1_000_000 // mm, of a roll or table
	maxFigure  = 10_000    // mm, of gaps, trims and allowances
	maxAreal   = 20_000    // g/m²
	maxMass    = 100_000   // kg
	maxMinutes = 100_000
	maxOutLife = 1_000_000 // min, nearly two years
	maxAngle   = 360
	maxCount   = 100_000
	maxPrice   = 1e9
)

// MaxUnits bounds how often a part is made.
const MaxUnits = maxCount

// MaxPieces bounds the pieces of a whole job, all units and counts together.
const MaxPieces = 200_000

func aText() value                    { return value{kind: textKind} }
func aFlag() value                    { return value{kind: flagKind} }
func aDate() value                    { return value{kind: dateKind} }
func aClock() value                   { return value{kind: clockKind, max: 24*60 - 1} }
func oneOf(w ...string) value         { return value{kind: wordKind, words: w} }
func aWhole(min, max float64) value   { return value{kind: wholeKind, min: min, max: max} }
func aMapping(f *form) value          { return value{kind: mapKind, keys: f} }
func aList(least int, of value) value { return value{kind: listKind, of: &of, least: least} }

func aQuantity(q shapes.Quantity, min, max float64) value {
	return value{kind: quantityKind, quantity: q, min: min, max: max}
}

func aLength(min, max float64) value { return aQuantity(shapes.Length, min, max) }
func anAngle(min, max float64) value { return aQuantity(shapes.Angle, min, max) }

func ptr(v value) *value { return &v }

// over leaves the lower bound itself out.
func over(v value) value { v.above = true; return v }

// under leaves the upper bound itself out.
func under(v value) value { v.below = true; return v }

func constructionWords() []string {
	out := make([]string, len(shapes.Constructions))
	for i, c := range shapes.Constructions {
		out[i] = string(c)
	}
	return out
}

var lengthUnits = shapes.Length.Units()

// drawingUnits are the units a drawing may be said to be in.
var drawingUnits = []string{"mm", "cm", "m", "in", "ft"}

var layerForm = &form{
	name: "layer",
	doc:  "One layer of straight fibre in a stitched fabric.",
	keys: []key{
		{name: "angle", required: true, value: anAngle(-90, 90), doc: "Angle of the fibre against the warp, face up, degrees counter-clockwise."},
		{name: "mass", required: true, value: over(aQuantity(shapes.ArealMass, 0, maxAreal)), doc: "Areal mass of the layer, g/m2 unless a unit follows."},
	},
}

var flawForm = &form{
	name: "flaw",
	doc:  "A stretch of a roll that is not used.",
	keys: []key{
		{name: "from", required: true, value: aLength(0, maxLength), doc: "Where the flaw begins, from the free end of the roll."},
		{name: "to", required: true, value: aLength(0, maxLength), doc: "Where the flaw ends, from the free end of the roll."},
	},
}

var rollForm = &form{
	name: "roll",
	doc:  "One roll on the rack.",
	keys: []key{
		{name: "roll", required: true, value: aText(), doc: "Name of the roll, different from every other roll of the job."},
		{name: "lot", value: aText(), doc: "Lot or batch the supplier gives, for tracing."},
		{name: "length", value: over(aLength(0, maxLength)), doc: "Length left on the roll. With neither length nor mass, as much as needed."},
		{name: "mass", value: over(aQuantity(shapes.Mass, 0, maxMass)), doc: "Mass of fabric left on the roll without its tube, kg unless a unit follows; in place of length."},
		{name: "width", value: over(aLength(0, maxWidth)), doc: "Width of this roll where it differs from the fabric's, selvedges included."},
		{name: "face_down", value: aFlag(), fallback: "false", doc: "Whether the roll unrolls with the fabric's face towards the table."},
		{name: "flaws", value: aList(0, aMapping(flawForm)), doc: "Stretches that are not used."},
		{name: "out_used", value: aQuantity(shapes.Time, 0, maxOutLife), fallback: "0", doc: "How long the roll has been out of the freezer so far; minutes unless a unit follows. For fabrics with out_life."},
		{name: "thaw", value: aQuantity(shapes.Time, 0, maxOutLife), fallback: "0", doc: "How long the roll stands closed before it is opened, which counts as time out; minutes unless a unit follows."},
		{name: "expires", value: aDate(), doc: "Last day the roll may be used, such as 2027-03-01; checked against the job's date."},
		{name: "received", value: aDate(), doc: "Day the roll came, such as 2026-03-01; older lots are used first."},
		{name: "reserved", value: aLength(0, maxLength), fallback: "0", doc: "Length of it that other jobs need."},
		{name: "remnant", value: aFlag(), fallback: "false", doc: "Whether it is a piece that came back from the table; remnants are used first."},
	},
}

var priceBreakForm = &form{
	name: "price break",
	doc:  "The price of a larger order.",
	keys: []key{
		{name: "from", required: true, value: over(value{kind: shareKind, min: 0, max: maxPrice}), doc: "Smallest order it holds for, in what the fabric is sold by."},
		{name: "price", required: true, value: value{kind: priceKind, keys: priceForm, words: []string{"m2"}}, doc: "The price, as a fabric's."},
	},
}

var deliveryWidthForm = &form{
	name: "delivery width",
	doc:  "Another width a fabric comes in.",
	keys: []key{
		{name: "width", required: true, value: over(aLength(0, maxWidth)), doc: "Whole width of the roll, selvedges included."},
		{name: "delivery_length", value: over(aLength(0, maxLength)), doc: "Length of a whole roll of this width; the fabric's where it says nothing."},
		{name: "price", value: value{kind: priceKind, keys: priceForm, words: []string{"m2"}}, doc: "Price of this width; the fabric's where it says nothing, in proportion to the width where that is per m or roll."},
	},
}

var openOrderForm = &form{
	name: "open order",
	doc:  "Fabric that was ordered and has not come.",
	keys: []key{
		{name: "order", required: true, value: aText(), doc: "Number of the order."},
		{name: "length", required: true, value: over(aLength(0, maxLength)), doc: "Length that comes."},
		{name: "reserved", value: aLength(0, maxLength), fallback: "0", doc: "Length of it that other jobs need."},
		{name: "due", value: aDate(), doc: "Day it comes, such as 2026-12-04."},
	},
}

var buyingForm = &form{
	name: "buying",
	doc:  "How a fabric is bought.",
	keys: []key{
		{name: "sold_by", value: oneOf("roll", "m", "kg", "m2"), doc: "What orders are counted in: whole rolls, running metres, kilograms or square metres. By default rolls where delivery_length is stated, metres where not."},
		{name: "step", value: value{kind: shareKind, min: 0, max: maxPrice}, doc: "Least amount an order can grow by, in what it is sold by; 1 for rolls, and any amount for the rest, where it says nothing."},
		{name: "minimum", value: value{kind: shareKind, min: 0, max: maxPrice}, fallback: "0", doc: "Smallest order, in what it is sold by."},
		{name: "lead_time", value: aWhole(0, 3650), fallback: "0", doc: "Days between order and delivery."},
		{name: "price_breaks", value: aList(1, aMapping(priceBreakForm)), doc: "Prices of larger orders."},
		{name: "widths", value: aList(1, aMapping(deliveryWidthForm)), doc: "Other widths to choose from."},
		{name: "orders", value: aList(1, aMapping(openOrderForm)), doc: "Orders under way."},
	},
}

var priceForm = &form{
	name: "price",
	doc:  "What something costs, in the job's currency.",
	keys: []key{
		{name: "amount", required: true, value: value{kind: shareKind, min: 0, max: maxPrice}, doc: "Amount of the job's currency."},
		{name: "per", value: oneOf("m2", "kg", "m", "roll"), doc: "What the amount is paid for: square metre, kilogram, running metre, roll. Without it m2 for a fabric and kg for a resin."},
	},
}

var fabricForm = &form{
	name: "fabric",
	doc:  "A material that comes on rolls.",
	keys: []key{
		{name: "name", required: true, value: aText(), doc: "Name that plies refer to."},
		{name: "construction", required: true, value: oneOf(constructionWords()...), doc: "How the fabric is built."},
		{name: "areal_mass", value: aQuantity(shapes.ArealMass, 0, maxAreal), doc: "Fibre mass per area, g/m2 unless a unit follows (oz/ft2 for mat, oz/yd2 for woven). A stitched fabric may state it by its layers; a weave without it, such as peel ply, shows no fibre."},
		{name: "glass_content", value: over(under(value{kind: shareKind, min: 0, max: 1})), doc: "Mass fraction of fibre in the cured laminate. By default 0.30 for mat, 0.48 for weaves, 0.50 for multiaxials, 0.55 for unidirectionals (hand lay-up, simple surface, ISO 12215-5)."},
		{name: "fibre_density", value: over(aQuantity(shapes.Density, 0, 25)), fallback: "2.56", doc: "Density of the fibre, g/cm3 unless a unit follows. 2.56 is E-glass."},
		{name: "width", required: true, value: over(aLength(0, maxWidth)), doc: "Whole width of the roll, selvedges included."},
		{name: "selvedge", value: aLength(0, maxWidth), fallback: "0", doc: "Width at each edge that is never used for plies."},
		{name: "faces", value: oneOf("same", "different"), fallback: "same", doc: "same: plies may be turned over; different: they may not. A satin's faces always differ."},
		{name: "balanced", value: aFlag(), fallback: "false", doc: "Whether warp and weft of a plain or twill weave carry the same."},
		{name: "diagonal", value: oneOf("matters", "free"), fallback: "matters", doc: "Whether the direction of a twill's diagonal matters; free lets a balanced twill turn by 90 degrees."},
		{name: "layer_order", value: oneOf("matters", "free"), fallback: "free", doc: "Whether the order of a stitched fabric's layers matters for an opposite hand."},
		{name: "layers", value: aList(1, aMapping(layerForm)), doc: "Layers of a stitched fabric, bottom to top, face up. Two for biaxial, three for triaxial, four for quadraxial; a unidirectional has one along the warp unless it says more."},
		{name: "warp_positions", value: aList(1, anAngle(-maxAngle, maxAngle)), doc: "Warp angles against the asked direction that count as the same, degrees. They replace what the construction implies."},
		{name: "price", value: value{kind: priceKind, keys: priceForm, words: []string{"m2"}}, doc: "What the fabric costs: a figure per m2, 'FIGURE per kg' (m, roll, m2), or a mapping."},
		{name: "delivery_length", value: over(aLength(0, maxLength)), doc: "Length of a whole roll as bought."},
		{name: "out_life", value: over(aQuantity(shapes.Time, 0, maxOutLife)), doc: "For prepreg: how long it may be out of the freezer between delivery and cure, summed over all outings; minutes unless a unit follows. The supplier's data sheet says how long. Its resin is in it and is not mixed."},
		{name: "buying", value: aMapping(buyingForm), doc: "How the fabric is bought; it changes no plan."},
		{name: "rolls", value: aList(0, aMapping(rollForm)), doc: "Rolls on the rack. Without any, as much as needed is taken from a roll without a name."},
	},
}

var outlinesForm = &form{
	name: "outlines file",
	doc:  "A drawing with outlines, and how it is read.",
	keys: []key{
		{name: "file", required: true, value: aText(), doc: "Path of a DXF or SVG drawing, relative to the job file."},
		{name: "revision", value: aText(), doc: "State of this drawing, which the part's revision must agree with."},
		{name: "units", value: oneOf(drawingUnits...), doc: "Unit of the drawing, where the drawing does not say or says wrong."},
		{name: "px_per_inch", value: over(value{kind: shareKind, min: 0, max: 10_000}), doc: "Pixels per inch of an SVG without physical size: 96, 90 or 72."},
		{name: "join", value: over(aLength(0, maxFigure)), doc: "Ends of loose lines closer than this are joined."},
		{name: "close_gaps", value: aLength(0, maxFigure), doc: "Outlines open by no more than this are closed, and that is reported."},
		{name: "names", value: aList(1, oneOf(nameSources...)), doc: "Where the names of outlines come from, the first that gives one."},
		{name: "per_layer", value: aFlag(), fallback: "false", doc: "Whether every layer (SVG: every outermost group) is a drawing of its own, for plies drawn over one another."},
		{name: "viewed_from", value: oneOf("above", "tool_side"), doc: "Overrides the part's viewed_from for this file."},
	},
}

// nameSources are the places the name of an outline can come from.
var nameSources = []string{
	string(drawing.NameText), string(drawing.NameTitle), string(drawing.NameBlock),
	string(drawing.NameID), string(drawing.NameGroup), string(drawing.NameLayer),
}

var splitForm = &form{
	name: "split",
	doc:  "How a ply may be divided into panels.",
	keys: []key{
		{name: "joint", value: oneOf("lap", "butt"), doc: "How two panels meet. By default butt for a unidirectional, which is never lapped, and lap for the rest."},
		{name: "overlap", value: aLength(0, maxFigure), doc: "Doubled width of a lap, half on each side of the seam; 50 mm where a lap says nothing."},
		{name: "min_panel", value: aLength(0, maxWidth), fallback: "100 mm", doc: "Narrowest panel allowed."},
		{name: "stagger", value: aLength(0, maxFigure), fallback: "100 mm", doc: "Least distance between seams of consecutive plies of one outline."},
		{name: "seams", value: aList(1, aLength(-maxLength, maxLength)), doc: "Positions of the seams across the warp; without it they are free."},
		{name: "allowed", value: aFlag(), fallback: "false", doc: "Whether a ply that fits whole may be divided where that saves fabric."},
		{name: "min_saving", value: aLength(0, maxLength), fallback: "100 mm", doc: "Least length of roll that each seam must save where a ply that fits whole is divided."},
	},
}

var plyForm = &form{
	name: "ply",
	doc:  "One line of the lay-up.",
	keys: []key{
		{name: "order", required: true, value: aWhole(1, maxCount), doc: "Place in the lay-up; 1 is laid first, against the tool."},
		{name: "ply", required: true, value: aText(), doc: "Name of the ply, different from every other ply of the part."},
		{name: "outline", required: true, value: aText(), doc: "Name of the outline in the part's drawings."},
		{name: "fabric", required: true, value: aText(), doc: "Name of the fabric it is cut from."},
		{name: "direction", value: anAngle(-maxAngle, maxAngle), doc: "Angle of the warp as laid against the outline's +X axis, degrees counter-clockwise looking down on the tool. Required unless the fabric has no direction."},
		{name: "tolerance", value: anAngle(0, 90), fallback: "0", doc: "How far the laid direction may be off, degrees either way."},
		{name: "count", value: aWhole(1, maxCount), fallback: "1", doc: "Pieces of this ply in one unit, all of them."},
		{name: "opposite_hand", value: aWhole(0, maxCount), fallback: "0", doc: "How many of count are of the opposite hand."},
		{name: "trim", value: aLength(0, maxFigure), doc: "Added all round this outline, in place of cutting.trim."},
		{name: "split", value: value{kind: splitKind, keys: splitForm}, doc: "How the ply may be divided: 'lap', 'lap 50 mm', 'butt', 'allowed', or a mapping. Without it the ply stays whole."},
		{name: "bag", value: aText(), doc: "Kit bag or tube the ply is packed in."},
		{name: "note", value: value{kind: textKind, long: true}, doc: "Free text for the laminator."},
	},
}

var stopForm = &form{
	name: "stop",
	doc:  "A planned pause of the lay-up.",
	keys: []key{
		{name: "after", required: true, value: aWhole(1, maxCount), doc: "Order that is laid last before the stop."},
		{name: "reason", value: aText(), doc: "Why, such as skin coat or core."},
	},
}

var partForm = &form{
	name: "part",
	doc:  "One thing to be laminated in one mould.",
	keys: []key{
		{name: "part", required: true, value: aText(), doc: "Name of the part, different from every other part."},
		{name: "units", value: aWhole(1, maxCount), fallback: "1", doc: "How many of the part the job makes."},
		{name: "revision", value: aText(), doc: "State of the part's drawings; the job's where the part says nothing."},
		{name: "outlines", required: true, value: value{kind: listKind, single: true, least: 1, of: &value{kind: mapKind, keys: outlinesForm, short: &value{kind: textKind}}}, doc: "Drawings with the part's outlines, DXF or SVG, relative to the job file: one or a list, each a path or a mapping with file and how it is read."},
		{name: "viewed_from", value: oneOf("above", "tool_side"), fallback: "above", doc: "above: outlines are drawn looking down on the tool; tool_side: they are drawn from below and mirrored on reading."},
		{name: "plies", value: aList(1, value{kind: mapKind, keys: plyForm}), doc: "The lay-up, in place of ply_table."},
		{name: "ply_table", value: aText(), doc: "Path of a CSV table with the lay-up, relative to the job file; its columns are the keys of a ply. In place of plies."},
		{name: "stops", value: aList(0, value{kind: mapKind, keys: stopForm, short: &value{kind: wholeKind, min: 1, max: maxCount}}), doc: "Planned pauses of the lay-up, each the order before it or a mapping with a reason. A wet set ends there."},
	},
	eitherOf: []string{"plies", "ply_table"},
}

var tableForm = &form{
	name: "table",
	doc:  "The cutting table.",
	keys: []key{
		{name: "length", required: true, value: over(aLength(0, maxLength)), doc: "Usable length; of a conveyor, the length of its window."},
		{name: "width", required: true, value: over(aLength(0, maxWidth)), doc: "Usable width."},
		{name: "kind", value: oneOf(string(shapes.StaticTable), string(shapes.Conveyor)), fallback: string(shapes.StaticTable), doc: "static: a layout is no longer than the table; conveyor: it advances."},
	},
}

var cuttingForm = &form{
	name: "cutting",
	doc:  "Rules of the cutting table.",
	keys: []key{
		{name: "gap", value: aLength(0, maxFigure), fallback: "0", doc: "Least distance between two plies."},
		{name: "trim", value: aLength(0, maxFigure), fallback: "0", doc: "Added all round every outline, which is drawn net."},
		{name: "angle_tolerance", value: anAngle(0, 90), fallback: "0", doc: "How much of each ply's tolerance a layout may spend, degrees; laying and drape need the rest."},
		{name: "end_allowance", value: aLength(0, maxFigure), fallback: "20 mm", doc: "Left free at each end of a layout."},
		{name: "table", value: aMapping(tableForm), doc: "The cutting table; without it layouts may be of any length."},
		{name: "layers", value: aWhole(1, 100), fallback: "1", doc: "Fabrics the knife cuts at once."},
		{name: "spreads", value: aList(0, aList(2, aText())), doc: "Groups of fabrics, by name, that may be stacked and cut in one pass."},
		{name: "min_remnant", value: aLength(0, maxLength), fallback: "500 mm", doc: "Shortest roll end worth keeping."},
		{name: "chord_tolerance", value: over(aLength(0, 10)), fallback: "0.05 mm", doc: "How far a flattened curve may stand off the true one."},
		{name: "ink", value: aFlag(), fallback: "false", doc: "Whether marks and names may be drawn on the net ply."},
		{name: "one_lot_per_unit", value: aFlag(), fallback: "false", doc: "Whether all plies of one fabric in one unit's kit must come from one lot."},
		{name: "keep_together", value: value{kind: listKind, single: true, least: 1, of: &value{kind: textKind}}, doc: "Parts whose kits are kept together, by name, or all: on every layout each kit has a stretch of the table to itself, from its first ply to its last, and its plies are cut in spreads with each other only. The report says what that costs."},
		{name: "spread_policy", value: oneOf("none", "time", "fabric", "recommended"), fallback: "recommended", doc: "What spreads are chosen for: none, least time, least fabric, or the least cost of both together."},
		{name: "rates", value: aMapping(ratesForm), doc: "Working times of the cutting room, to weigh minutes against fabric; without it common practice."},
	},
}

var ratesForm = &form{
	name: "rates",
	doc:  "Working times of the cutting room.",
	keys: []key{
		{name: "cut", value: over(value{kind: shareKind, min: 0, max: maxFigure}), fallback: "15", doc: "Length of cut line the knife covers, m/min, whatever number of layers lies under it."},
		{name: "lift", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "2 s", doc: "Raising the knife, travelling and lowering it, for each outline and cut-out; minutes unless a unit follows."},
		{name: "spread", value: over(value{kind: shareKind, min: 0, max: maxFigure}), fallback: "8", doc: "Length of one layer that is pulled onto the table, m/min."},
		{name: "layer", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "30 s", doc: "Aligning a layer and cutting it off its roll; minutes unless a unit follows."},
		{name: "layout", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "2 min", doc: "Loading a cut file, setting its origin and clearing the table; minutes unless a unit follows."},
		{name: "roll_change", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "3 min", doc: "Taking one roll off and putting the next on; minutes unless a unit follows."},
		{name: "walk", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "15 s", doc: "Carrying what is lifted in one go from the table to its kit; minutes unless a unit follows."},
		{name: "labour", value: value{kind: shareKind, min: 0, max: maxPrice}, fallback: "40", doc: "What crew and table cost, in the job's currency per hour."},
	},
}

var laminatingForm = &form{
	name: "laminating",
	doc:  "What the laminator works with; the supplier's data sheet governs.",
	keys: []key{
		{name: "resin", value: aText(), doc: "Name of the resin."},
		{name: "working_time", value: over(aQuantity(shapes.Time, 0, maxMinutes)), doc: "How long a mix can be worked, from the shop's own trial; minutes unless a unit follows."},
		{name: "plan_at", value: over(value{kind: shareKind, min: 0, max: 1}), doc: "Share of working_time that is planned, such as 0.75."},
		{name: "pace", value: over(aQuantity(shapes.Pace, 0, maxMass)), doc: "Laminate this crew wets out per hour, kg/h unless a unit follows."},
		{name: "mix_limit", value: over(aQuantity(shapes.Mass, 0, maxMass)), doc: "Largest mix of resin, kg unless a unit follows."},
		{name: "resin_density", value: over(aQuantity(shapes.Density, 0, 25)), fallback: "1.20", doc: "Density of the cured resin, g/cm3 unless a unit follows."},
		{name: "resin_price", value: value{kind: priceKind, keys: priceForm, words: []string{"kg"}}, doc: "What the resin costs: a figure per kg, or a mapping."},
		{name: "waste", value: under(value{kind: shareKind, min: 0, max: 1}), fallback: "0", doc: "Share of resin left in pots and on tools."},
		{name: "set_thickness", value: over(aLength(0, maxFigure)), doc: "Most cured laminate laid in one wet set, against the heat of cure; the supplier's data sheet and the shop's own trials say how much."},
		{name: "cure", value: over(aQuantity(shapes.Time, 0, maxOutLife)), doc: "What passes at every stop of the lay-up, planned or for set_thickness, before the next wet set of the kit can be laid; the supplier's data sheet and the shop's own trials say how long. Minutes unless a unit follows. Without it the timetable leaves cure out, and says so."},
		{name: "cure_after", value: aQuantity(shapes.Time, 0, maxOutLife), fallback: "0", doc: "What passes between the end of a kit's laying and the beginning of its cure, which counts as time out of the freezer for prepreg; minutes unless a unit follows."},
		{name: "shift", value: aMapping(shiftForm), doc: "When the laminators work, for the timetable."},
	},
}

var shiftForm = &form{
	name: "shift",
	doc:  "When the laminators work, for the timetable.",
	keys: []key{
		{name: "start", value: aClock(), fallback: "07:00", doc: "Time of day when the first kit is laid, and when work begins on every other day."},
		{name: "end", value: aClock(), doc: "Time of day when work ends, of laminators and cutting room alike. A wet set, a kit or a layout that would not be done by then waits for the next day. Without it work goes on."},
		{name: "days", value: value{kind: listKind, single: true, least: 1, of: ptr(oneOf(shapes.Weekdays...))}, doc: "Days of the week on which work is done, such as [mon, tue, wed, thu, fri]; the job's date says which is the first. Without it every day. It needs end."},
		{name: "crews", value: aWhole(1, 1000), fallback: "1", doc: "Kits laid at once, each by its own crew at the pace."},
		{name: "between_sets", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "0", doc: "What passes between two wet sets of a kit; minutes unless a unit follows."},
		{name: "between_kits", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "0", doc: "What passes before a crew begins its next kit; minutes unless a unit follows."},
		{name: "carry", value: aQuantity(shapes.Time, 0, maxMinutes), fallback: "0", doc: "How long before it is laid a set leaves the cutting room; minutes unless a unit follows."},
		{name: "cut_from", value: aClock(), doc: "Time of day when the table begins on the first layout; without it the timetable says when it must."},
	},
}

var jobForm = &form{
	name: "job",
	doc:  "A cutting job: fabrics, parts with their lay-ups, and the rules of the shop.",
	keys: []key{
		{name: "job", required: true, value: aText(), doc: "Title printed on every document."},
		{name: "revision", value: aText(), doc: "State of the job, printed on every document."},
		{name: "units", value: oneOf(lengthUnits...), fallback: "mm", doc: "Unit of lengths in this file and its ply tables that carry none. Drawings state their own."},
		{name: "date", value: aDate(), doc: "Day the job is cut, such as 2026-11-30, against which rolls expire."},
		{name: "currency", value: aText(), doc: "Unit of every price."},
		{name: "fabrics", required: true, value: aList(1, aMapping(fabricForm)), doc: "Materials that plies are cut from."},
		{name: "parts", required: true, value: aList(1, aMapping(partForm)), doc: "Parts with their lay-ups."},
		{name: "cutting", value: aMapping(cuttingForm), doc: "Rules of the cutting table."},
		{name: "laminating", value: aMapping(laminatingForm), doc: "What the laminator works with."},
	},
}

// accepts says what a value may be, for messages.
func (v *value) accepts() string {
	switch v.kind {
	case textKind:
		return "a text"
	case flagKind:
		return "true or false"
	case wholeKind:
		return fmt.Sprintf("a whole number from %g to %g", v.min, v.max)
	case shareKind:
		return "a number"
	case quantityKind:
		article := "a "
		if v.quantity == shapes.ArealMass || v.quantity == shapes.Angle {
			article = "an "
		}
		return article + v.quantity.String()
	case wordKind:
		return "a word"
	case dateKind:
		return "a date such as 2027-03-01"
	case clockKind:
		return "a time of day such as 07:30"
	case listKind:
		return "a list"
	case priceKind:
		return "a price"
	case splitKind:
		return "a word or a mapping"
	default:
		if v.short != nil {
			return "a text or a mapping"
		}
		return "a mapping"
	}
}
