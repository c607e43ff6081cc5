package nest

// Names of the spread options of a record.
const (
	// OptionNone cuts every fabric single.
	OptionNone = "none"
	// OptionTime takes the fewest minutes and OptionFabric the least fabric.
	OptionTime   = "time"
	OptionFabric = "fabric"
	// OptionRecommended takes the least fabric and labour together.
	OptionRecommended = "recommended"
	// OptionLaid is the plan of this record, after its whole search.
	OptionLaid = "laid"
)

// A SpreadOption is one way to spread the fabrics of a job. All options but
// OptionLaid are measured after equally short searches, or all foretold, so
// that they compare with one another; OptionLaid is what the record holds.
type SpreadOption struct {
	// Name is one of the Option constants.
	Name string `json:"name"`
	// Chosen marks the option that was laid.
	Chosen bool `json:"chosen,omitempty"`
	// Foretold says that the figures were not laid but reckoned from areas and
	// from how densely single plies were laid, since time was short.
	Foretold bool `json:"foretold,omitempty"`
	// Layouts counts layouts and Spreads those of more than one layer.
	Layouts int `json:"layouts"`
	Spreads int `json:"spreads"`
	// Fabrics lists what is drawn of each fabric, roll ends included.
	Fabrics []FabricLength `json:"fabrics"`
	// Length sums the fabrics, mm, and Drawn is their area, mm².
	Length float64 `json:"length"`
	Drawn  float64 `json:"drawn"`
	// NetYield is plies net over fabric drawn and not returned, 0 to 1.
	NetYield float64 `json:"net_yield"`
	// Minutes is the working time.
	Minutes Minutes `json:"minutes"`
	// FabricCost and LabourCost are in the job's currency; Priced says whether
	// every fabric drawn has a price. Where one has not, FabricCost is 0.
	FabricCost float64 `json:"fabric_cost"`
	LabourCost float64 `json:"labour_cost"`
	Priced     bool    `json:"priced"`
}

// A FabricLength is a length of one fabric, mm.
type FabricLength struct {
	Fabric string  `json:"fabric"`
	Length float64 `json:"length"`
}

// Minutes are the working times of a plan, estimated at the job's rates.
type Minutes struct {
	// Cutting is the knife's way and its lifts.
	Cutting float64 `json:"cutting"`
	// Spreading is setting layouts up and laying their layers out.
	Spreading float64 `json:"spreading"`
	// RollChanges is taking rolls off and on.
	RollChanges float64 `json:"roll_changes"`
	// Kitting is carrying plies from the table to their kits.
	Kitting float64 `json:"kitting"`
}

// Total is the sum of all times, min.
func (m Minutes) Total() float64 { return m.Cutting + m.Spreading + m.RollChanges + m.Kitting }
