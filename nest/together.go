package nest

// Together sets a plan that keeps kits together beside one that need not: the
// same job, stock, seed and effort.
type Together struct {
	// Kept is the plan of this record, Free the one laid for comparison and
	// thrown away.
	Kept KeptFigures `json:"kept"`
	Free KeptFigures `json:"free"`
}

// KeptFigures are what one of the two plans comes to.
type KeptFigures struct {
	// Layouts counts layouts.
	Layouts int `json:"layouts"`
	// Fabrics lists what is drawn of each fabric, roll ends included, Length
	// sums it, mm, and Drawn is its area, mm².
	Fabrics []FabricLength `json:"fabrics"`
	Length  float64        `json:"length"`
	Drawn   float64        `json:"drawn"`
	// FabricCost is in the job's currency; 0 where not every fabric drawn has a
	// price, which Priced says.
	FabricCost float64 `json:"fabric_cost"`
	Priced     bool    `json:"priced"`
	// Minutes is the working time.
	Minutes Minutes `json:"minutes"`
	// Visits sums, over all kits, the layouts that hold a ply of the kit, and
	// Walk the way along the table from the middle of its first ply to that of
	// its last on each of them, mm.
	Visits int     `json:"visits"`
	Walk   float64 `json:"walk"`
}
