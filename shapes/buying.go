package shapes

// Buying says how a fabric is bought. It is no part of a plan, so records leave
// it out.
type Buying struct {
	// Unit is what amounts to buy are counted in: rolls, metres, kilograms or
	// square metres.
	Unit PriceUnit
	// Step is the least amount by which an order can grow, in Unit; 0: any.
	Step float64
	// Minimum is the smallest order, in Unit; 0: none.
	Minimum float64
	// LeadTime is how many days pass between order and delivery; 0 unknown.
	LeadTime int
	// Breaks are the prices of larger orders, by rising From.
	Breaks []PriceBreak
	// Widths are other widths it is delivered in.
	Widths []DeliveryWidth
	// Orders are deliveries under way.
	Orders []OpenOrder
}

// A PriceBreak is the price of an order of From or more.
type PriceBreak struct {
	// From is in the unit of Buying.
	From  float64
	Price Price
}

// A DeliveryWidth is another width a fabric comes in.
type DeliveryWidth struct {
	// Width is the whole width, mm.
	Width float64
	// DeliveryLength is that of a roll of this width, mm; 0: the fabric's.
	DeliveryLength float64
	// Price is for this width; nil: the fabric's, in proportion to the width
	// where it is per metre or roll.
	Price *Price
}

// An OpenOrder is fabric that was ordered and has not come.
type OpenOrder struct {
	Name string
	// Length is what comes, Reserved what of it other jobs need, mm.
	Length   float64
	Reserved float64
	// Due is the day it comes; empty where nobody knows.
	Due Date
}

// Bought is how the fabric is bought: as the job says, or else by the roll
// where the length of one is known and by the metre where not.
func (f *Fabric) Bought() Buying {
	if f.Buying != nil {
		return *f.Buying
	}
	if f.DeliveryLength > 0 {
		return Buying{Unit: PerRoll, Step: 1}
	}
	return Buying{Unit: PerMetre}
}
