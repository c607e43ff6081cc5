package buy

import (
	"fmt"
	"math"
	"time"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/shapes"
)

// A Line is one fabric to buy. Lengths are metres, costs the job's currency.
type Line struct {
	Fabric string  `json:"fabric"`
	Width  float64 `json:"width_mm"`
	Plies  int     `json:"plies"`
	// Need is what the plan draws; Error is how far it may be off where it is an
	// estimate. Allowance is added for flaws and recuts, as the buyer sets it.
	Need      float64 `json:"need_m"`
	Error     float64 `json:"error_m"`
	Allowance float64 `json:"allowance_m"`
	// Area and Mass are of Need: square metres and kilograms of fabric. Mass
	// is 0 where the fabric has no fibre mass.
	Area float64 `json:"area_m2"`
	Mass float64 `json:"mass_kg"`
	// NetYield is plies net over what is drawn.
	NetYield float64 `json:"net_yield"`
	// Stock is what the named rolls hold outside their flaws, Reserved what other jobs need of
	// that, OnOrder what open orders bring in time and is not reserved.
	Stock    float64 `json:"stock_m"`
	Reserved float64 `json:"reserved_m"`
	OnOrder  float64 `json:"on_order_m"`
	// Short is need, error and allowance less what is drawn from stock and open
	// orders, never below 0.
	Short float64 `json:"short_m"`
	// Amount is what is bought in Unit, Buy the same in metres. Rolls is Amount
	// where the fabric is sold by the roll.
	Amount float64          `json:"amount"`
	Unit   shapes.PriceUnit `json:"unit"`
	Rolls  int              `json:"rolls"`
	Buy    float64          `json:"buy_m"`
	// ToMinimum and ToBreak say why more is bought than is short.
	ToMinimum bool `json:"to_minimum,omitempty"`
	ToBreak   bool `json:"to_price_break,omitempty"`
	// OrderBy is the last day to order, where the day of need and the lead time
	// are known.
	LeadTime int         `json:"lead_time_days,omitempty"`
	OrderBy  shapes.Date `json:"order_by,omitempty"`
	// Left is what is drawn and bought less need and allowance.
	Left float64 `json:"left_m"`
	// RollEnds is how much more than Need a plan on these very rolls may draw,
	// because it breaks off at their ends and flaws; 0 where it was laid on them.
	RollEnds float64 `json:"roll_ends_m"`
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
	Units []nest.Part `json:"units"`
	// Batches are the nests the needs are estimated from, in units of the part
	// that is made most often; empty where all units were nested together.
	Batches []int `json:"batches,omitempty"`
	// OnRack says that the plan was laid on the rolls and orders themselves;
	// otherwise the need is set against them by the metre.
	OnRack bool `json:"on_rack"`
	// Stopped says that the search was stopped before all was laid that was
	// wanted.
	Stopped bool `json:"stopped,omitempty"`
	// Date is the day on which rolls must not have expired; empty where the job
	// gives none and no roll expires.
	Date shapes.Date `json:"date,omitempty"`
	// Remnants are what plies lie on of a store of remnants.
	Remnants []OnRemnant `json:"remnants,omitempty"`
	// Spreading says how fabrics are spread; nil where the job allows none.
	Spreading *Spreading `json:"spreading,omitempty"`
	Fabrics   []Line     `json:"fabrics"`
	// Draws say what is taken from which roll and order.
	Draws []Draw `json:"draws"`
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
	// Groups and Widths are comparisons the buyer asked for.
	Groups []Group `json:"groups,omitempty"`
	Widths []Width `json:"widths,omitempty"`
}

// Options say what the buyer wants besides the units.
type Options struct {
	// Allowance is a share of the need, 0 to 1.
	Allowance float64
	// By is the day the fabric is needed; empty where it does not matter.
	By shapes.Date
}

// Make sets the needs against the job's stock.
func Make(job *shapes.Job, needs *Needs, opt Options) (*List, error) {
	if opt.Allowance < 0 || math.IsNaN(opt.Allowance) || opt.Allowance > 1 {
		return nil, fmt.Errorf("an allowance of %v is no share from 0 to 1", opt.Allowance)
	}
	out := &List{Job: job.Name, Revision: job.Revision, Currency: job.Currency, Date: job.Date, Batches: needs.Batches, OnRack: needs.taken != nil,
		Stopped: needs.Stopped, Remnants: needs.Remnants, Spreading: needs.Spreading, AllPriced: true, Draws: []Draw{}}
	for _, p := range job.Parts {
		out.Units = append(out.Units, nest.Part{Part: p.Name, Units: p.Units, Revision: p.Revision})
	}
	for _, n := range needs.Fabrics {
		f := jobFabric(job, n.Fabric)
		if f == nil {
			return nil, fmt.Errorf("the job has no fabric %q", n.Fabric)
		}
		l, ds := against(f, n, needs.taken[n.Fabric], job, opt, f.Width)
		out.Fabrics = append(out.Fabrics, l)
		out.Draws = append(out.Draws, ds...)
		out.NeedCost += l.NeedCost
		out.BuyCost += l.BuyCost
		out.AllPriced = out.AllPriced && l.Priced
	}
	out.addResin(job, needs)
	return out, nil
}

// against sets one fabric against its stock of a width (mm) or more. taken is
// what a plan laid on the rolls draws of each, mm; nil draws by the metre.
func against(f *shapes.Fabric, n Need, taken map[string]float64, job *shapes.Job, opt Options, width float64) (Line, []Draw) {
	l := Line{
		Fabric: n.Fabric, Width: f.Width, Plies: n.Plies,
		Need: n.Length / 1e3, Error: n.Error / 1e3, Area: n.Area / 1e6, Mass: n.Area / 1e6 * f.ArealMass / 1e3,
	}
	if n.Area > 0 {
		l.NetYield = n.Net / n.Area
	}
	l.NeedCost, l.Priced = account.Cost(f, n.Length, n.Area)
	l.Allowance = l.Need * opt.Allowance
	for _, r := range f.Rolls {
		l.Stock += sound(&r) / 1e3
		l.Reserved += r.Reserved / 1e3
	}
	want := n.Length + n.Error + float64(l.Allowance*1e3)
	if taken != nil {
		width = 0 // narrow rolls were tried
	}
	ds := draws(f, want, width, job.Date, opt.By)
	if taken != nil {
		takeAs(ds, taken, l.Allowance)
	}
	free, drawn := 0.0, 0.0
	for _, d := range ds {
		drawn += d.Take
		if d.Refused == "" {
			free += d.Free
			if d.Source == FromOrder {
				l.OnOrder += d.Free
			}
		}
	}
	l.Short = math.Max(0, want/1e3-drawn)
	if l.Short < 1e-9 {
		l.Short = 0
	}
	p := order(f, l.Short*1e3)
	l.Amount, l.Unit, l.Buy = p.Amount, p.Unit, p.Length/1e3
	l.ToMinimum, l.ToBreak = p.ToMinimum, p.ToBreak
	if p.Unit == shapes.PerRoll {
		l.Rolls = int(math.Ceil(p.Amount - 1e-9))
	}
	l.BuyCost, l.Priced = p.Cost, l.Priced && p.Priced
	l.Left = free + l.Buy - l.Need - l.Allowance
	if taken == nil {
		rolls := l.Rolls
		if rolls == 0 && l.Buy > 0 {
			rolls = 1
		}
		l.RollEnds = float64(ends(f, ds, rolls)) * (n.Longest + 2*job.Cutting.EndAllowance) / 1e3
	}
	l.LeadTime = f.Bought().LeadTime
	if l.Short > 0 && opt.By != "" && l.LeadTime > 0 {
		if day, err := time.Parse(time.DateOnly, string(opt.By)); err == nil {
			l.OrderBy = shapes.Date(day.AddDate(0, 0, -l.LeadTime).Format(time.DateOnly))
		}
	}
	return l, ds
}

// takeAs says what a plan laid on the rolls draws of each, and has the
// allowance (m) drawn from what it leaves.
func takeAs(ds []Draw, taken map[string]float64, allowance float64) {
	for i := range ds {
		d := &ds[i]
		d.Take = math.Min(taken[sourceKey(d.Source, d.Name)]/1e3, d.Free)
		if d.Refused == "" {
			more := math.Min(allowance, d.Free-d.Take)
			d.Take += more
			allowance -= more
		}
	}
}

func (out *List) addResin(job *shapes.Job, needs *Needs) {
	for _, p := range job.Parts {
		out.Resin += float64(needs.resin[p.Name] * float64(p.Units))
	}
	out.ResinToMix = out.Resin
	lam := job.Laminating
	if lam == nil {
		out.AllPriced = out.AllPriced && out.Resin == 0
		return
	}
	out.ResinName = lam.Resin
	if lam.Waste < 1 {
		out.ResinToMix = out.Resin / (1 - lam.Waste)
	}
	if p := lam.ResinPrice; p != nil && p.Per == shapes.PerKilogram {
		out.ResinCost, out.ResinPriced = float64(p.Amount*out.ResinToMix), true
		out.NeedCost += out.ResinCost
		out.BuyCost += out.ResinCost
	}
	out.AllPriced = out.AllPriced && (out.ResinPriced || out.Resin == 0)
}
