package relay

import (
	"math"
	"reflect"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// bounds are lengths that no plan for this demand could beat: by area alone on
// the widest roll of each fabric, since the rolls of two plans are mixed here,
// or as the record before proved it, where the job has nothing more than that.
func bounds(rec, was *nest.Record, job *shapes.Job) []nest.FabricBound {
	out := []nest.FabricBound{}
	table := rec.ShapesByID()
	short := rec.ShortKeys()
	for i := range rec.Fabrics {
		f := &rec.Fabrics[i]
		usable, area := widest(f), 0.0
		layers := 0
		for _, l := range rec.Layouts {
			for _, ly := range l.Layers {
				if ly.Fabric == f.Name {
					layers++
				}
			}
		}
		for _, d := range rec.Demand {
			if d.Fabric == f.Name && !short[d.Key()] {
				area += polygonArea(table[d.Shape].Cut)
			}
		}
		if area == 0 || usable <= 0 || layers == 0 {
			continue
		}
		length := area/usable + 2*rec.Rules.EndAllowance
		if len(short)+len(was.Short) == 0 && noMore(was, job, f.Name) {
			for _, b := range was.FabricBounds {
				if b.Fabric == f.Name {
					length = math.Max(length, b.Length)
				}
			}
		}
		out = append(out, nest.FabricBound{Fabric: f.Name, Length: nest.Round(length)})
	}
	return out
}

// noMore reports whether every plan that a job now allows on a fabric was
// allowed before: the fabric is what it was, on the same table, and each roll
// was there, no shorter and no narrower.
func noMore(was *nest.Record, job *shapes.Job, fabric string) bool {
	at := slices.IndexFunc(job.Fabrics, func(f *shapes.Fabric) bool { return f.Name == fabric })
	old := was.Fabric(fabric)
	if at < 0 || old == nil || !reflect.DeepEqual(was.Rules.Table, job.Cutting.Table) {
		return false
	}
	now := job.Fabrics[at]
	a, b := *old, *now
	a.Rolls, b.Rolls, a.Price, b.Price = nil, nil, nil, nil
	if !reflect.DeepEqual(a, b) || len(old.Rolls) == 0 != (len(now.Rolls) == 0) {
		return false
	}
	for _, r := range now.Rolls {
		o := rollOf(old, r.Name)
		if o == nil || widthOf(now, r) > widthOf(old, *o) || o.Length > 0 && (r.Length == 0 || r.Length > o.Length) ||
			len(o.Flaws) > len(r.Flaws) || !slices.Equal(o.Flaws, r.Flaws[:len(o.Flaws)]) || o.FaceDown != r.FaceDown {
			return false
		}
	}
	return true
}

// widest is the greatest usable width of a fabric's rolls, mm.
func widest(f *shapes.Fabric) float64 {
	if len(f.Rolls) == 0 {
		return f.UsableWidth()
	}
	width := 0.0
	for i := range f.Rolls {
		r := &f.Rolls[i]
		width = math.Max(width, widthOf(f, *r)-2*f.SelvedgeOf(r))
	}
	return width
}
