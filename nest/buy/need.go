package buy

import (
	"context"
	"errors"
	"math"

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

// MaxLaid is how many pieces are nested together at most, whatever else is
// asked: a nest of more would take hours and say no more than an estimate.
const MaxLaid = 5_000

// batches are the sizes of the nests an estimate is made from, in units of the
// part that is made most often.
var batches = []int{4, 8, 12}

// A Need is what all units take of one fabric.
type Need struct {
	Fabric string
	Plies  int
	// Length is mm. Error is how far an estimate may be off, mm; 0 for a nest
	// of all units.
	Length float64
	Error  float64
	// Area is drawn and Net is plies, mm².
	Area float64
	Net  float64
}

// Needs is what all units take.
type Needs struct {
	Fabrics []Need
	// Batches are the sizes of the nests the needs are estimated from; empty
	// where all units were nested together.
	Batches []int
	// Spreading is how fabrics are spread; nil where the job allows no spreads.
	Spreading *Spreading
	// resin is kg per unit of each part, as the kits say.
	resin map[string]float64
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
// is laid for the least fabric: fabric is what is bought.
//
// Length against plies net is nearly a straight line: each further unit takes
// about as much as the one before, and the ends of the layouts weigh less and
// less. The line is fitted to the batches. The need is never put above a batch
// repeated, which is a plan that exists, nor below what the plies would take
// without any scrap. How well plies pair up differs from one number of units to
// the next: the error reaches up to what either of the two largest batches
// would take in proportion, and to twice the standard error of the line as far
// down as scrap allows.
func LayNeeds(ctx context.Context, j *shapes.Job, lay Layer, full int) (*Needs, error) {
	most := 0
	for _, p := range j.Parts {
		most = max(most, p.Units)
	}
	one := func(c *shapes.Job) (*Needs, error) {
		if c.Cutting.SpreadPolicy == "" {
			c.Cutting.SpreadPolicy = shapes.SpreadFabric
		}
		rec, err := lay(ctx, c)
		if err != nil {
			return nil, err
		}
		n, err := measured(rec)
		if err == nil && n.Spreading != nil {
			n.Spreading.FromJob = j.Cutting.SpreadPolicy != ""
		}
		return n, err
	}
	tooMany := Pieces(j) > MaxLaid && most > batches[len(batches)-1]
	if !tooMany && (full <= 0 || most <= full) {
		return one(study.Clone(j))
	}
	var laid []*Needs
	var jobs []*shapes.Job
	for _, b := range batches {
		c := study.Clone(j)
		for _, p := range c.Parts {
			p.Units = max(1, int(math.Round(float64(p.Units)*float64(b)/float64(most))))
		}
		n, err := one(c)
		if err != nil {
			return nil, err
		}
		if ctx.Err() != nil {
			return nil, errStopped
		}
		laid, jobs = append(laid, n), append(jobs, c)
	}
	return estimate(j, jobs, laid), nil
}

var errStopped = errors.New("stopped before every batch was laid; an estimate needs them all")

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

// measured is what a record draws.
func measured(rec *nest.Record) (*Needs, error) {
	led, err := account.Measure(rec)
	if err != nil {
		return nil, err
	}
	out := &Needs{resin: map[string]float64{}, Spreading: spreading(rec)}
	for _, s := range led.Fabrics {
		out.Fabrics = append(out.Fabrics, Need{Fabric: s.Fabric, Plies: s.Plies, Length: s.Length,
			Area: s.Books.Drawn - s.Books.Remnant, Net: s.Books.PliesNet})
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

// estimate fits the batches, fabric by fabric.
func estimate(j *shapes.Job, jobs []*shapes.Job, laid []*Needs) *Needs {
	last := laid[len(laid)-1]
	out := &Needs{Batches: batches, resin: last.resin, Spreading: last.Spreading}
	for _, big := range last.Fabrics {
		f := jobFabric(j, big.Fabric)
		var xs, ys []float64
		for i, n := range laid {
			if b := n.find(big.Fabric); b != nil {
				xs, ys = append(xs, netOf(jobs[i], big.Fabric)), append(ys, b.Length)
			}
		}
		x := netOf(j, big.Fabric)
		scale := big.Net / netOf(jobs[len(jobs)-1], big.Fabric)
		least := x * scale / f.UsableWidth()
		length, off := line(xs, ys, x)
		length = math.Max(length, least)
		for i, n := range laid {
			if b := n.find(big.Fabric); b != nil {
				length = math.Min(length, b.Length*float64(repeats(j, jobs[i], big.Fabric)))
			}
		}
		most := length
		for i := max(0, len(xs)-2); i < len(xs); i++ {
			most = math.Max(most, ys[i]*x/xs[i])
		}
		out.Fabrics = append(out.Fabrics, Need{
			Fabric: big.Fabric, Plies: plies(j, big.Plies, jobs[len(jobs)-1], big.Fabric),
			Length: length, Error: math.Max(most-length, math.Min(2*off, length-least)),
			Area: length * f.Width, Net: x * scale,
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
				sum += float64(p.Units*d.Count) * d.Outline.Area
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
		sxx += (xs[i] - mx) * (xs[i] - mx)
		sxy += (xs[i] - mx) * (ys[i] - my)
	}
	if sxx == 0 {
		return my * x / mx, 0
	}
	slope := sxy / sxx
	rest := 0.0
	for i := range xs {
		d := ys[i] - my - slope*(xs[i]-mx)
		rest += d * d
	}
	if len(xs) > 2 {
		off = math.Sqrt(rest/(n-2)) * math.Sqrt(1+1/n+(x-mx)*(x-mx)/sxx)
	}
	return my + slope*(x-mx), off
}

func jobFabric(job *shapes.Job, name string) *shapes.Fabric {
	for _, f := range job.Fabrics {
		if f.Name == name {
			return f
		}
	}
	return nil
}
