package buy

import (
	"context"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
	"plyroom/nest/study"
	"plyroom/shapes"
)

// A Layer lays a job on as much fabric as it needs.
type Layer func(ctx context.Context, j *shapes.Job) (*nest.Record, error)

// DefaultFull is how many units of a part are nested together before needs are
// estimated from batches.
const DefaultFull = 12

// luck and luckEnd are how far the length of a large nest may be off by the luck
// of the search alone, as a share and in longest plies: three batches may lie on
// a line by chance. Of 144 nests of 17 to 33 units under eight seeds and three
// efforts, those in full with effort in proportion, 2 to 11 m long, one was
// further off than that: by 9.2 %, where 8.9 % was told for other reasons.
const (
	luck    = 0.05
	luckEnd = 0.4
)

// MaxLaid is how many pieces are nested together at most, whatever else is
// asked: a nest of more would take hours and say no more than an estimate.
const MaxLaid = 5_000

// batches are the sizes of the nests an estimate is made from, in units of the
// part that is made most often.
var batches = []int{4, 8, 12}

// A Need is what all units take of one fabric, from rolls.
type Need struct {
	Fabric string
	// Plies counts all, those on remnants of a store too.
	Plies int
	// Length is mm. Error is how far an estimate may be off, mm; 0 for a nest
	// of all units.
	Length float64
	Error  float64
	// Area is drawn and Net is plies, mm².
	Area float64
	Net  float64
	// Longest is how far the longest ply lies along the roll, mm.
	Longest float64
}

// Needs is what all units take.
type Needs struct {
	Fabrics []Need
	// Batches are the sizes of the nests the needs are estimated from; empty
	// where all units were nested together.
	Batches []int
	// Spreading is how fabrics are spread; nil where the job allows no spreads.
	Spreading *Spreading
	// Remnants are the pieces of a store that plies lie on.
	Remnants []OnRemnant
	// Stopped says that the search was stopped before all was laid that was
	// wanted; the needs are of what was.
	Stopped bool
	// resin is kg per unit of each part, as the kits say.
	resin map[string]float64
	// taken is what is drawn of each roll, by fabric and name, mm; nil where
	// stock is set against the needs by the metre.
	taken map[string]map[string]float64
}

// Estimated reports whether the needs are estimates.
func (n *Needs) Estimated() bool { return len(n.Batches) > 0 }

func (n *Needs) find(fabric string) *Need {
	for i := range n.Fabrics {
		if n.Fabrics[i].Fabric == fabric {
			return &n.Fabrics[i]
		}
	}
	return nil
}

// LayNeeds lays the job, whole where no part is made more than full times, or
// else in batches from which it estimates. With full 0 or less all is laid up
// to MaxLaid pieces. Where the job does not say what spreads are chosen for, it
// is laid for the least fabric: fabric is what is bought. Plies that remnants
// of a store hold, where there are any, are not drawn from rolls.
//
// Length against plies net is nearly a straight line: each further unit takes
// about as much as the one before, and the ends of the layouts weigh less and
// less. The line is fitted to the batches. The need is never put above a batch
// repeated, which is a plan that exists, nor below what the plies would take
// without any scrap. How well plies pair up differs from one number of units to
// the next: the error reaches up to what either of the two largest batches
// would take in proportion, to twice the standard error of the line as far down
// as scrap allows, and never to less than the luck of a search.
//
// Where the context ends before every batch is laid, the batches there are
// serve. With one or two the need lies between a plan without any scrap and
// the better of them repeated: the middle is told, and half the width as error.
func LayNeeds(ctx context.Context, j *shapes.Job, lay Layer, full int, store *Remnants) (*Needs, error) {
	one := func(c *shapes.Job, lay Layer) (*Needs, error) {
		if c.Cutting.SpreadPolicy == "" {
			c.Cutting.SpreadPolicy = shapes.SpreadFabric
		}
		rec, err := lay(ctx, c)
		if err != nil {
			return nil, err
		}
		n, err := measured(rec, store)
		if err == nil && n.Spreading != nil {
			n.Spreading.FromJob = j.Cutting.SpreadPolicy != ""
		}
		return n, err
	}
	most := mostUnits(j)
	if !Estimates(j, full) {
		if store != nil {
			lay = store.Lay
		}
		return one(study.Clone(j), lay)
	}
	var laid []*Needs
	var jobs []*shapes.Job
	for _, b := range batches {
		if len(laid) > 0 && ctx.Err() != nil {
			break
		}
		c := study.Clone(j)
		for _, p := range c.Parts {
			p.Units = max(1, int(math.Round(float64(p.Units)*float64(b)/float64(most))))
		}
		n, err := one(c, lay)
		if err != nil {
			return nil, err
		}
		laid, jobs = append(laid, n), append(jobs, c)
	}
	var held *Needs
	if store != nil && ctx.Err() == nil {
		var err error
		if held, err = one(study.Clone(jobs[len(jobs)-1]), store.Lay); err != nil {
			return nil, err
		}
	}
	out := estimate(j, jobs, laid, held)
	out.Stopped = ctx.Err() != nil
	return out, nil
}

// Batches are the sizes of the nests that estimates are made from, in units of
// the part that is made most often.
func Batches() []int { return slices.Clone(batches) }

// Estimates reports whether LayNeeds estimates from batches.
func Estimates(j *shapes.Job, full int) bool {
	most := mostUnits(j)
	return Pieces(j) > MaxLaid && most > batches[len(batches)-1] || full > 0 && most > full
}

func mostUnits(j *shapes.Job) int {
	most := 0
	for _, p := range j.Parts {
		most = max(most, p.Units)
	}
	return most
}

// Pieces counts the plies of all units, a divided one as one.
func Pieces(j *shapes.Job) int {
	n := 0
	for _, p := range j.Parts {
		for _, d := range p.Plies {
			n += p.Units * d.Count
		}
	}
	return n
}

// measured is what a record draws from rolls, and what it lays on remnants of
// a store.
func measured(rec *nest.Record, store *Remnants) (*Needs, error) {
	led, err := account.Measure(rec)
	if err != nil {
		return nil, err
	}
	out := &Needs{resin: map[string]float64{}, Spreading: spreading(rec)}
	at := map[string]int{}
	for i, s := range led.Fabrics {
		at[s.Fabric] = i
		out.Fabrics = append(out.Fabrics, Need{Fabric: s.Fabric, Plies: s.Plies})
	}
	for _, b := range led.Layers {
		ly := &b.Layout.Layers[b.Layer]
		n := &out.Fabrics[at[ly.Fabric]]
		if store.holds(ly.Roll) {
			out.Remnants = append(out.Remnants, onRemnant(b))
			continue
		}
		n.Length += b.Layout.Draws(ly)
		n.Area += b.Books.Drawn - b.Books.Remnant
		n.Net += b.Books.PliesNet
		for i := range b.Layout.Placed {
			if p := &b.Layout.Placed[i]; p.Layer == ly.Layer {
				n.Longest = math.Max(n.Longest, along(p.Outline))
			}
		}
	}
	kits, err := kit.Build(rec)
	if err != nil {
		return nil, err
	}
	for i := range kits {
		if kits[i].Unit == 1 {
			out.resin[kits[i].Part] += kits[i].Totals.Resin
		}
	}
	return out, nil
}

// along is how far a ring reaches along the roll, mm.
func along(r nest.Ring) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range r {
		lo, hi = math.Min(lo, v[0]), math.Max(hi, v[0])
	}
	return math.Max(0, hi-lo)
}

// estimate fits the batches, fabric by fabric. held is the largest batch laid
// on remnants first: what they hold is no part of the need.
func estimate(j *shapes.Job, jobs []*shapes.Job, laid []*Needs, held *Needs) *Needs {
	last, lastJob := laid[len(laid)-1], jobs[len(jobs)-1]
	out := &Needs{Batches: batches[:len(laid)], resin: last.resin, Spreading: last.Spreading}
	if held != nil {
		out.Remnants = held.Remnants
	}
	for _, big := range last.Fabrics {
		f := jobFabric(j, big.Fabric)
		var xs, ys []float64
		for i, n := range laid {
			if b := n.find(big.Fabric); b != nil {
				xs, ys = append(xs, netOf(jobs[i], big.Fabric)), append(ys, b.Length)
			}
		}
		scale := big.Net / netOf(lastJob, big.Fabric)
		x := math.Max(0, netOf(j, big.Fabric)-out.onRemnants(big.Fabric)/scale)
		least := x * scale / f.UsableWidth()
		repeated := math.Inf(1)
		for i, n := range laid {
			if b := n.find(big.Fabric); b != nil {
				repeated = math.Min(repeated, b.Length*float64(repeats(j, jobs[i], big.Fabric)))
			}
		}
		length, off := (repeated+least)/2, (repeated-least)/2
		if len(laid) == len(batches) {
			var spread float64
			length, spread = line(xs, ys, x)
			length = math.Min(math.Max(length, least), repeated)
			most := length
			for i := max(0, len(xs)-2); i < len(xs); i++ {
				most = math.Max(most, ys[i]*x/xs[i])
			}
			off = math.Max(math.Max(most-length, math.Min(2*spread, length-least)), float64(luck*length)+float64(luckEnd*big.Longest))
		}
		if x == 0 {
			length, off = 0, 0 // remnants hold it all
		}
		out.Fabrics = append(out.Fabrics, Need{
			Fabric: big.Fabric, Plies: plies(j, big.Plies, lastJob, big.Fabric),
			Length: length, Error: off, Area: length * f.Width, Net: x * scale, Longest: big.Longest,
		})
	}
	return out
}

// netOf is the area of the plies of a fabric as drawn, mm².
func netOf(j *shapes.Job, fabric string) float64 {
	sum := 0.0
	for _, p := range j.Parts {
		for _, d := range p.Plies {
			if d.Fabric.Name == fabric {
				sum += float64(float64(p.Units*d.Count) * d.Outline.Area)
			}
		}
	}
	return sum
}

// plies counts the plies of all units from those of a batch, in which a ply may
// have been divided.
func plies(j *shapes.Job, of int, batch *shapes.Job, fabric string) int {
	count := func(j *shapes.Job) int {
		n := 0
		for _, p := range j.Parts {
			for _, d := range p.Plies {
				if d.Fabric.Name == fabric {
					n += p.Units * d.Count
				}
			}
		}
		return n
	}
	return int(math.Round(float64(of) * float64(count(j)) / float64(count(batch))))
}

// repeats is how often a batch must be laid to make all units of the parts that
// take the fabric.
func repeats(j, batch *shapes.Job, fabric string) int {
	n := 1
	for i, p := range j.Parts {
		for _, d := range p.Plies {
			if d.Fabric.Name == fabric {
				n = max(n, (p.Units+batch.Parts[i].Units-1)/batch.Parts[i].Units)
			}
		}
	}
	return n
}

// line fits a straight line by least squares and reads it at x; off is the
// standard error of what is read there.
func line(xs, ys []float64, x float64) (y, off float64) {
	n := float64(len(xs))
	mx, my := 0.0, 0.0
	for i := range xs {
		mx += xs[i] / n
		my += ys[i] / n
	}
	sxx, sxy := 0.0, 0.0
	for i := range xs {
		sxx += float64((xs[i] - mx) * (xs[i] - mx))
		sxy += float64((xs[i] - mx) * (ys[i] - my))
	}
	if sxx == 0 {
		return my * x / mx, 0
	}
	slope := sxy / sxx
	rest := 0.0
	for i := range xs {
		d := ys[i] - my - float64(slope*(xs[i]-mx))
		rest += float64(d * d)
	}
	if len(xs) > 2 {
		off = math.Sqrt(rest/(n-2)) * math.Sqrt(1+1/n+(x-mx)*(x-mx)/sxx)
	}
	return my + float64(slope*(x-mx)), off
}

func jobFabric(job *shapes.Job, name string) *shapes.Fabric {
	for _, f := range job.Fabrics {
		if f.Name == name {
			return f
		}
	}
	return nil
}
