// Package buy turns a plan into what purchasing decides from: metres, rolls
// and cost per fabric against the rolls on the rack, and resin.
//
// The plan is one laid for the wanted number of units on as much fabric as it
// needs, so its length is what a real nest takes, not an estimate by area.
package buy

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// A Line is one fabric to buy. Lengths are metres, costs the job's currency.
type Line struct {
	Fabric string `json:"fabric"`
	Plies  int    `json:"plies"`
	// Need is what the plan draws; Allowance is added to it for flaws and
	// recuts, as the buyer sets it.
	Need      float64 `json:"need_m"`
	Allowance float64 `json:"allowance_m"`
	// Area and Mass are of Need: square metres and kilograms of fabric. Mass
	// is 0 where the fabric has no fibre mass.
	Area float64 `json:"area_m2"`
	Mass float64 `json:"mass_kg"`
	// NetYield is plies net over what is drawn.
	NetYield float64 `json:"net_yield"`
	// Stock is what the named rolls hold.
	Stock float64 `json:"stock_m"`
	// Short is need and allowance less stock, never below 0.
	Short float64 `json:"short_m"`
	// Rolls is how many whole rolls cover Short; 0 where the length of a roll
	// as bought is not known.
	Rolls int `json:"rolls"`
	// Buy is what is bought: whole rolls where their length is known, else
	// Short.
	Buy float64 `json:"buy_m"`
	// Left is stock and purchase less need and allowance.
	Left float64 `json:"left_m"`
	// NeedCost and BuyCost are what Need and Buy cost; Priced says whether the
	// job tells a price that can be used.
	NeedCost float64 `json:"need_cost"`
	BuyCost  float64 `json:"buy_cost"`
	Priced   bool    `json:"priced"`
}

// A List is everything to buy.
type List struct {
	Job      string `json:"job"`
	Revision string `json:"revision"`
	Currency string `json:"currency"`
	// Units lists the parts and how many of each the plan makes.
	Units   []nest.Part `json:"units"`
	Fabrics []Line      `json:"fabrics"`
	// Resin is what stays in the laminate, kg; ResinToMix has the job's share
	// of waste added. They are estimates.
	Resin      float64 `json:"resin_kg"`
	ResinToMix float64 `json:"resin_to_mix_kg"`
	ResinName  string  `json:"resin,omitempty"`
	ResinCost  float64 `json:"resin_cost"`
	// ResinPriced says whether ResinCost is known.
	ResinPriced bool `json:"resin_priced"`
	// NeedCost and BuyCost sum fabrics and resin; AllPriced says whether every
	// price is known, so that the sums are whole.
	NeedCost  float64 `json:"need_cost"`
	BuyCost   float64 `json:"buy_cost"`
	AllPriced bool    `json:"all_priced"`
}

// Make measures the plan against the job's stock. Allowance is a share of the
// need, 0 to 1.
func Make(job *shapes.Job, rec *nest.Record, allowance float64) (*List, error) {
	if allowance < 0 || math.IsNaN(allowance) || allowance > 1 {
		return nil, fmt.Errorf("an allowance of %v is no share from 0 to 1", allowance)
	}
	led, err := account.Measure(rec)
	if err != nil {
		return nil, err
	}
	out := &List{Job: rec.Job, Revision: rec.Revision, Currency: rec.Currency, Units: rec.Parts, AllPriced: true}
	for _, s := range led.Fabrics {
		f := jobFabric(job, s.Fabric)
		if f == nil {
			return nil, fmt.Errorf("the job has no fabric %q", s.Fabric)
		}
		l := line(f, s, allowance)
		out.Fabrics = append(out.Fabrics, l)
		out.NeedCost += l.NeedCost
		out.BuyCost += l.BuyCost
		out.AllPriced = out.AllPriced && l.Priced
	}
	return out, out.addResin(rec)
}

func line(f *shapes.Fabric, s account.Summary, allowance float64) Line {
	drawn := s.Books.Drawn - s.Books.Remnant
	l := Line{
		Fabric: s.Fabric, Plies: s.Plies,
		Need: s.Length / 1e3, Area: drawn / 1e6, Mass: drawn / 1e6 * f.ArealMass / 1e3,
		NetYield: s.Books.NetYield(), NeedCost: s.Cost, Priced: s.Priced,
	}
	l.Allowance = l.Need * allowance
	for _, r := range f.Rolls {
		l.Stock += r.Length / 1e3
	}
	l.Short = math.Max(0, l.Need+l.Allowance-l.Stock)
	l.Buy = l.Short
	if f.DeliveryLength > 0 && l.Short > 0 {
		// A rounding's worth of shortage is no roll.
		l.Rolls = int(math.Ceil(l.Short*1e3/f.DeliveryLength - 1e-9))
		l.Buy = float64(l.Rolls) * f.DeliveryLength / 1e3
	}
	l.Left = l.Stock + l.Buy - l.Need - l.Allowance
	cost, ok := account.Cost(f, l.Buy*1e3, l.Buy*1e3*f.Width)
	l.BuyCost, l.Priced = cost, l.Priced && ok
	return l
}

func jobFabric(job *shapes.Job, name string) *shapes.Fabric {
	for _, f := range job.Fabrics {
		if f.Name == name {
			return f
		}
	}
	return nil
}

func (out *List) addResin(rec *nest.Record) error {
	kits, err := kit.Build(rec)
	if err != nil {
		return err
	}
	for i := range kits {
		out.Resin += kits[i].Totals.Resin
	}
	out.ResinToMix = out.Resin
	lam := rec.Laminating
	if lam == nil {
		out.AllPriced = out.AllPriced && out.Resin == 0
		return nil
	}
	out.ResinName = lam.Resin
	if lam.Waste < 1 {
		out.ResinToMix = out.Resin / (1 - lam.Waste)
	}
	if p := lam.ResinPrice; p != nil && p.Per == shapes.PerKilogram {
		out.ResinCost, out.ResinPriced = p.Amount*out.ResinToMix, true
		out.NeedCost += out.ResinCost
		out.BuyCost += out.ResinCost
	}
	out.AllPriced = out.AllPriced && (out.ResinPriced || out.Resin == 0)
	return nil
}
