package buy

import (
	"math"

	"plyroom/nest/account"
	"plyroom/shapes"
)

// A Purchase is an order to place for one fabric.
type Purchase struct {
	// Amount is in Unit, Length mm.
	Amount float64
	Unit   shapes.PriceUnit
	Length float64
	// Cost is in the job's currency; Priced says whether it is known. Price is
	// the one that holds.
	Cost   float64
	Priced bool
	Price  *shapes.Price
	// ToMinimum and ToBreak say that more is bought than is short: because the
	// order would be too small, or because more costs less.
	ToMinimum bool
	ToBreak   bool
}

// amountOf turns a length of a fabric (mm) into a unit it is sold by.
func amountOf(f *shapes.Fabric, unit shapes.PriceUnit, length float64) float64 {
	switch unit {
	case shapes.PerRoll:
		return length / f.DeliveryLength
	case shapes.PerKilogram:
		return length * f.Width / 1e6 * f.ArealMass / 1e3
	case shapes.PerSquareMetre:
		return length * f.Width / 1e6
	}
	return length / 1e3
}

// order finds the cheapest order that covers a length (mm): in whole steps, no
// smaller than the minimum, and up to a price break where the larger order
// costs less. The fabric must be sold by a unit it can be counted in.
func order(f *shapes.Fabric, short float64) Purchase {
	b := f.Bought()
	p := Purchase{Unit: b.Unit}
	per := amountOf(f, b.Unit, 1) // per mm
	if short <= 0 || !(per > 0) || math.IsInf(per, 0) {
		_, p.Priced = account.Cost(f, 0, 0)
		return p
	}
	whole := func(amount float64) float64 {
		if b.Step > 0 {
			// A rounding's worth of shortage is no step.
			return math.Ceil(amount/b.Step-1e-9) * b.Step
		}
		return amount
	}
	need := whole(short * per)
	least := need
	if b.Minimum > need {
		least = whole(b.Minimum)
		p.ToMinimum = true
	}
	at := func(amount float64) (cost float64, price *shapes.Price, ok bool) {
		price = f.Price
		for i := range b.Breaks {
			if amount >= b.Breaks[i].From-1e-9 {
				price = &b.Breaks[i].Price
			}
		}
		g := *f
		g.Price = price
		length := amount / per
		cost, ok = account.Cost(&g, length, length*f.Width)
		return cost, price, ok
	}
	p.Amount = least
	p.Cost, p.Price, p.Priced = at(least)
	for _, br := range b.Breaks {
		if more := whole(br.From); more > least {
			if cost, price, ok := at(more); ok && p.Priced && cost < p.Cost-1e-9 {
				p.Amount, p.Cost, p.Price, p.ToBreak = more, cost, price, true
			}
		}
	}
	p.Length = p.Amount / per
	return p
}
