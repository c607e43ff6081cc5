package account

import "math"

// Books are the areas of one layer of one layout, or a sum of such, in mm².
// Each square millimetre drawn from the roll stands in one class.
type Books struct {
	// Drawn is all fabric taken from the roll for good or for use.
	Drawn float64 `json:"drawn"`
	// PliesNet is the plies as drawn, cut-outs taken off, laps not counted.
	PliesNet float64 `json:"plies_net"`
	// Laps is the doubled area at seams of divided plies.
	Laps float64 `json:"laps"`
	// Trim is what was added round net outlines.
	Trim float64 `json:"trim"`
	// Gaps is what lies between plies inside the usable rectangle.
	Gaps float64 `json:"gaps"`
	// DropOuts is what falls out of cut-outs and is used for no other ply.
	DropOuts float64 `json:"drop_outs"`
	// Selvedge is the unusable edges, over the whole length.
	Selvedge float64 `json:"selvedge"`
	// Mismatch is usable width lost to the other fabrics of a spread.
	Mismatch float64 `json:"mismatch"`
	// EndAllowance is what is left at both ends of the layout.
	EndAllowance float64 `json:"end_allowance"`
	// Flaws is usable area that is not used because of flaws.
	Flaws float64 `json:"flaws"`
	// RollEnd is the end of the roll that is too short to keep.
	RollEnd float64 `json:"roll_end"`
	// Remnant is what goes back on the rack as a piece of its own.
	Remnant float64 `json:"remnant"`
}

// A Class is one line of the books, for documents that list them.
type Class struct {
	// Key is the name in JSON and CSV.
	Key string
	// Label is the name people read.
	Label string
	// Area is in mm².
	Area float64
}

// Classes lists what became of the fabric, in the order documents show it:
// first what is used, then what is lost, then what comes back.
func (b Books) Classes() []Class {
	return []Class{
		{"plies_net", "plies, net", b.PliesNet},
		{"laps", "laps at seams", b.Laps},
		{"trim", "trim", b.Trim},
		{"gaps", "gaps and slivers", b.Gaps},
		{"drop_outs", "drop-outs of cut-outs", b.DropOuts},
		{"selvedge", "selvedge", b.Selvedge},
		{"mismatch", "spread mismatch", b.Mismatch},
		{"end_allowance", "end allowance", b.EndAllowance},
		{"flaws", "flaws", b.Flaws},
		{"roll_end", "roll end too short to use", b.RollEnd},
		{"remnant", "remnant returned", b.Remnant},
	}
}

// Imbalance is drawn less the sum of all classes, mm². Books balance where its
// size is at most 1.
func (b Books) Imbalance() float64 {
	sum := 0.0
	for _, c := range b.Classes() {
		sum += c.Area
	}
	return b.Drawn - sum
}

// NetYield is plies net over what was drawn and not returned, 0 to 1.
func (b Books) NetYield() float64 { return ratio(b.PliesNet, b.Drawn-b.Remnant) }

// CutYield is NetYield with laps and trim counted as used.
func (b Books) CutYield() float64 {
	return ratio(b.PliesNet+b.Laps+b.Trim, b.Drawn-b.Remnant)
}

// NetYieldUsable is NetYield against the fabric without its selvedge.
func (b Books) NetYieldUsable() float64 {
	return ratio(b.PliesNet, b.Drawn-b.Remnant-b.Selvedge)
}

// CutYieldUsable is CutYield against the fabric without its selvedge.
func (b Books) CutYieldUsable() float64 {
	return ratio(b.PliesNet+b.Laps+b.Trim, b.Drawn-b.Remnant-b.Selvedge)
}

func ratio(a, b float64) float64 {
	if b <= 0 || math.IsNaN(b) {
		return 0
	}
	return a / b
}

// Add returns the sum of two books, class by class.
func (b Books) Add(o Books) Books {
	b.Drawn += o.Drawn
	b.PliesNet += o.PliesNet
	b.Laps += o.Laps
	b.Trim += o.Trim
	b.Gaps += o.Gaps
	b.DropOuts += o.DropOuts
	b.Selvedge += o.Selvedge
	b.Mismatch += o.Mismatch
	b.EndAllowance += o.EndAllowance
	b.Flaws += o.Flaws
	b.RollEnd += o.RollEnd
	b.Remnant += o.Remnant
	return b
}
