package study

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/shapes"
	"plyroom/shapes/geom"
	"plyroom/shapes/steady"

	"github.com/paulmach/orb"
)

// An Outcome is what one nest came to; it is the content of one file.
type Outcome struct {
	Format int `json:"format"`
	// Study is the fingerprint of the job; ID is the nest's.
	Study string `json:"study"`
	ID    string `json:"id"`
	// Cannot says why the plies cannot be laid; there are no lines then.
	Cannot string `json:"cannot,omitempty"`
	// Lines are the fabrics of the nest.
	Lines []Line `json:"lines,omitempty"`
	// Pictures are its layouts.
	Pictures []Picture `json:"pictures,omitempty"`
}

// A Line is what was drawn of one fabric. Lengths are mm, areas mm², angles
// degrees.
type Line struct {
	Fabric  string  `json:"fabric"`
	Layouts int     `json:"layouts"`
	Plies   int     `json:"plies"`
	Panels  int     `json:"panels,omitempty"`
	Length  float64 `json:"length"`
	// Bound is a length no plan could beat; 0 where none is known.
	Bound float64 `json:"bound"`
	Drawn float64 `json:"drawn"`
	Net   float64 `json:"net"`
	// MostOff is the largest deviation of the fibre, without sign.
	MostOff float64 `json:"most_off"`
}

// A Picture is a layout for a small drawing, in whole millimetres.
type Picture struct {
	Fabric string `json:"fabric"`
	Length int    `json:"length"`
	Width  int    `json:"width"`
	// Plies are outlines, x and y by turns; Parts says which part of the job
	// each belongs to.
	Plies [][]int `json:"plies"`
	Parts []int   `json:"parts"`
}

// coarse is how far an outline in a picture may stand off the true one, mm: a
// third of a pixel where a metre takes a hundred.
const coarse = 3

// Measure turns the record of a nest into its outcome.
func (p *Plan) Measure(n *Nest, rec *nest.Record) (*Outcome, error) {
	led, err := account.Measure(rec)
	if err != nil {
		return nil, err
	}
	out := &Outcome{Format: Format, Study: p.Spec.Fingerprint, ID: n.ID}
	panel := map[nest.Key]bool{}
	for i := range rec.Demand {
		if rec.Demand[i].Panel != nil {
			panel[rec.Demand[i].Key()] = true
		}
	}
	for _, s := range led.Fabrics {
		l := Line{Fabric: s.Fabric, Layouts: s.Layouts, Plies: s.Plies, Length: round(s.Length), Bound: round(s.BoundLength),
			Drawn: round(s.Books.Drawn - s.Books.Remnant), Net: round(s.Books.PliesNet)}
		for i := range rec.Layouts {
			for k := range rec.Layouts[i].Placed {
				if pl := &rec.Layouts[i].Placed[k]; pl.Fabric == s.Fabric {
					l.MostOff = math.Max(l.MostOff, round(math.Abs(pl.DeviationDeg)))
					if panel[pl.Key()] {
						l.Panels++
					}
				}
			}
		}
		out.Lines = append(out.Lines, l)
	}
	if n.Seed == p.Spec.Seed {
		out.Pictures = pictures(rec, n.job)
	}
	return out, nil
}

func round(v float64) float64 { return math.Round(v*1e3) / 1e3 }

// pictures draws the lowest layer of each layout. Parts are counted in the
// whole job, so that they look alike on every fabric.
func pictures(rec *nest.Record, whole *shapes.Job) []Picture {
	part := map[string]int{}
	for i, p := range whole.Parts {
		part[p.Name] = i
	}
	var out []Picture
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		if len(l.Layers) == 0 {
			continue
		}
		pic := Picture{Fabric: l.Layers[0].Fabric, Length: int(math.Ceil(l.Length)), Width: int(math.Ceil(l.Width))}
		for k := range l.Placed {
			p := &l.Placed[k]
			if p.Layer != l.Layers[0].Layer {
				continue
			}
			pic.Plies = append(pic.Plies, flat(p.Outline))
			pic.Parts = append(pic.Parts, part[p.Part])
		}
		out = append(out, pic)
	}
	return out
}

func flat(r nest.Ring) []int {
	ring := make(orb.Ring, len(r))
	for i, v := range r {
		ring[i] = orb.Point(v)
	}
	var out []int
	for _, v := range thin(ring) {
		out = append(out, int(math.Round(v[0])), int(math.Round(v[1])))
	}
	return out
}

// thin leaves out vertices that lie closer than coarse to the line between
// their kept neighbours.
func thin(r orb.Ring) orb.Ring {
	if len(r) < 5 {
		return r
	}
	far := 0
	for i := range r {
		if steady.Hypot(r[i][0]-r[0][0], r[i][1]-r[0][1]) > steady.Hypot(r[far][0]-r[0][0], r[far][1]-r[0][1]) {
			far = i
		}
	}
	keep := make([]bool, len(r))
	keep[0], keep[far] = true, true
	var halve func(a, b int)
	halve = func(a, b int) {
		worst, at := 0.0, -1
		for i := a + 1; i < b; i++ {
			if d := offLine(r[i%len(r)], r[a%len(r)], r[b%len(r)]); d > worst {
				worst, at = d, i
			}
		}
		if worst > coarse {
			keep[at%len(r)] = true
			halve(a, at)
			halve(at, b)
		}
	}
	halve(0, far)
	halve(far, len(r))
	var out orb.Ring
	for i, k := range keep {
		if k {
			out = append(out, r[i])
		}
	}
	if len(out) < 3 || geom.Area(out) == 0 {
		return r
	}
	return out
}

// offLine is the distance of p from segment ab.
func offLine(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if q := float64(dx*dx) + float64(dy*dy); q > 0 {
		t = math.Max(0, math.Min(1, (float64((p[0]-a[0])*dx)+float64((p[1]-a[1])*dy))/q))
	}
	return steady.Hypot(p[0]-a[0]-float64(t*dx), p[1]-a[1]-float64(t*dy))
}

// accept says why an outcome read from a file is not one of this nest.
func (p *Plan) accept(o *Outcome) error {
	switch {
	case o.Format != Format:
		return fmt.Errorf("is of format %d, this program reads %d", o.Format, Format)
	case o.Study != p.Spec.Fingerprint:
		return fmt.Errorf("belongs to another job or revision than %s", p.title())
	}
	n, ok := p.Find(o.ID)
	if !ok {
		return errNotOurs
	}
	if o.Cannot != "" {
		return nil
	}
	// Fabrics of plies with count in no part draw nothing; all others must be
	// there.
	if len(o.Lines) != len(n.Fabrics) {
		return fmt.Errorf("holds %d fabrics where the nest has %d", len(o.Lines), len(n.Fabrics))
	}
	for _, l := range o.Lines {
		if !(l.Length > 0) || !(l.Drawn > 0) || !(l.Net > 0) || math.IsInf(l.Length+l.Drawn+l.Net, 0) {
			return fmt.Errorf("holds no length of fabric %q", l.Fabric)
		}
	}
	for _, pic := range o.Pictures {
		if len(pic.Plies) != len(pic.Parts) {
			return fmt.Errorf("holds a picture of %d plies and %d parts", len(pic.Plies), len(pic.Parts))
		}
	}
	return nil
}

// title names the job of the study.
func (p *Plan) title() string {
	if p.Spec.Revision == "" {
		return p.Spec.Job
	}
	return p.Spec.Job + ", revision " + p.Spec.Revision
}
