package shapes

import "slices"

// Cutting holds the rules of the cutting table.
type Cutting struct {
	// Gap is the least distance between two plies, mm.
	Gap float64 `json:"gap"`
	// Trim is added all round outlines drawn net, mm; a ply may override it.
	Trim float64 `json:"trim"`
	// AngleTolerance is how much of each ply's tolerance a layout may spend,
	// degrees; the rest belongs to laying and drape.
	AngleTolerance float64 `json:"angle_tolerance"`
	// EndAllowance is left free at each end of a layout, mm.
	EndAllowance float64 `json:"end_allowance"`
	// Table is the cutting table; nil where layouts may be of any length.
	Table *Table `json:"table,omitempty"`
	// Layers is how many fabrics the knife cuts at once, at least 1.
	Layers int `json:"layers"`
	// Spreads lists groups of fabrics, by name, that may be stacked.
	Spreads [][]string `json:"spreads,omitempty"`
	// MinRemnant is the shortest roll end worth keeping, mm.
	MinRemnant float64 `json:"min_remnant"`
	// ChordTolerance is how far a flattened curve may stand off the true one,
	// mm.
	ChordTolerance float64 `json:"chord_tolerance"`
	// Ink allows marks and names to be drawn on the net ply.
	Ink bool `json:"ink,omitempty"`
	// OneLotPerUnit asks that all plies of one fabric in one unit's kit come
	// from one lot.
	OneLotPerUnit bool `json:"one_lot_per_unit,omitempty"`
	// KeepTogether names the parts whose kits are kept together: on a layout
	// that holds plies of such a kit, the stretch from its first ply to its last
	// is the kit's alone.
	KeepTogether []string `json:"keep_together,omitempty"`
	// UseExpired allows rolls that have expired or whose out-life is used up. No
	// job says so, only who lays it.
	UseExpired bool `json:"use_expired,omitempty"`
	// SpreadPolicy says how spreads are chosen; empty means SpreadRecommended.
	SpreadPolicy SpreadPolicy `json:"spread_policy,omitempty"`
	// Rates are the working times of the cutting room; nil where the job says
	// nothing.
	Rates *Rates `json:"rates,omitempty"`
}

// Keeps reports whether the kits of a part are kept together.
func (c *Cutting) Keeps(part string) bool { return slices.Contains(c.KeepTogether, part) }

// SpreadPolicy says what spreads are chosen for.
type SpreadPolicy string

// Cut everything single, take the least time, the least fabric cost, or the
// least sum of both.
const (
	SpreadNone        SpreadPolicy = "none"
	SpreadTime        SpreadPolicy = "time"
	SpreadFabric      SpreadPolicy = "fabric"
	SpreadRecommended SpreadPolicy = "recommended"
)

// TableKind says how fabric passes the knife.
type TableKind string

// A static table holds one length at a time; a conveyor advances.
const (
	StaticTable TableKind = "static"
	Conveyor    TableKind = "conveyor"
)

// A Table is the cutting table's usable size.
type Table struct {
	Length float64   `json:"length"`
	Width  float64   `json:"width"`
	Kind   TableKind `json:"kind"`
}

// Laminating holds what the laminator works with. A zero figure means that the
// job does not say.
type Laminating struct {
	Resin string `json:"resin,omitempty"`
	// WorkingTime is how long a mix can be worked, minutes.
	WorkingTime float64 `json:"working_time_min,omitempty"`
	// PlanAt is the share of WorkingTime that is planned, in (0, 1].
	PlanAt float64 `json:"plan_at,omitempty"`
	// Pace is laminate wetted out per hour, kg/h.
	Pace float64 `json:"pace_kg_h,omitempty"`
	// MixLimit is the largest mix, kg of resin.
	MixLimit float64 `json:"mix_limit_kg,omitempty"`
	// ResinDensity is g/cm³; 1.20 where the job says nothing.
	ResinDensity float64 `json:"resin_density_g_cm3,omitempty"`
	// ResinPrice is paid per kilogram; nil where the job says nothing.
	ResinPrice *Price `json:"resin_price,omitempty"`
	// Waste is the share of resin left in pots and on tools, 0 to 1.
	Waste float64 `json:"waste,omitempty"`
	// SetThickness is the most laminate laid in one wet set, mm cured, against
	// the heat of cure; 0 sets no limit.
	SetThickness float64 `json:"set_thickness,omitempty"`
	// Cure passes after a set that ends at a planned stop or at SetThickness
	// before the next one of its kit can be laid, minutes; 0 where the job does
	// not say.
	Cure float64 `json:"cure_min,omitempty"`
	// CureAfter passes between the end of a kit's laying and the beginning of its
	// cure, minutes: prepreg is still out of the freezer then.
	CureAfter float64 `json:"cure_after_min,omitempty"`
	// Shift is when the laminators work; nil where the job does not say.
	Shift *Shift `json:"shift,omitempty"`
}
