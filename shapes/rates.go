package shapes

// Rates are the working times of a cutting room. They weigh the minutes a plan
// takes against the fabric it draws; they are estimates, not measurements of
// any one machine.
type Rates struct {
	// Cut is the length of cut line the knife covers, m/min, whatever number
	// of layers lies under it.
	Cut float64 `json:"cut_m_min"`
	// Lift is the time to raise the knife, travel and lower it, min for each
	// outline and cut-out.
	Lift float64 `json:"lift_min"`
	// Spread is the length of one layer that is pulled onto the table, m/min.
	Spread float64 `json:"spread_m_min"`
	// Layer is the time to align a layer's edge and cut it off its roll, min
	// for each layer of each layout.
	Layer float64 `json:"layer_min"`
	// Layout is the time to load a cut file, set its origin and clear the
	// table, min for each layout.
	Layout float64 `json:"layout_min"`
	// RollChange is the time to take one roll off and put the next on, min.
	RollChange float64 `json:"roll_change_min"`
	// Walk is the time to carry what is lifted in one go from the table to its
	// kit, min. Plies that are cut together and lie together in one kit are
	// lifted in one go.
	Walk float64 `json:"walk_min"`
	// Labour is what crew and table cost, in the job's currency per hour.
	Labour float64 `json:"labour_per_h"`
}

// DefaultRates are used where a job states none. All are common practice
// without source (automated knives run at 10 to 60 m/min); a shop should put
// its own in their place.
func DefaultRates() Rates {
	return Rates{
		Cut: 15, Lift: 2.0 / 60, Spread: 8, Layer: 0.5, Layout: 2,
		RollChange: 3, Walk: 0.25, Labour: 40,
	}
}

// WorkRates are the job's rates, or the defaults.
func (c *Cutting) WorkRates() Rates {
	if c.Rates == nil {
		return DefaultRates()
	}
	return *c.Rates
}
