package buy

import (
	"context"
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/nest/study"
	"plyroom/shapes"
)

// sourceKey names a roll or order among all of a fabric: an order may bear the
// name of a roll.
func sourceKey(s Source, name string) string {
	if s == FromOrder {
		return "order\x00" + name
	}
	return "roll\x00" + name
}

// LayRack lays the job on the rolls and open orders themselves, in the order
// they are to be drawn from, and what they do not hold on new fabric: on whole
// rolls where it is sold by the roll, on as much as is needed elsewhere. It
// takes up the ends of rolls that are too short for a layout, flaws that a
// layout must end at, and rolls of other widths, which a need set against stock
// by the metre leaves out. by and the job's date say what may be drawn from;
// lay must take the rolls as they are listed. needs are those of LayNeeds.
func LayRack(ctx context.Context, j *shapes.Job, lay Layer, by shapes.Date, needs *Needs, store *Remnants) (*Needs, error) {
	if needs.Estimated() {
		return nil, fmt.Errorf("an estimate lays no unit on a roll")
	}
	c := study.Clone(j)
	if c.Cutting.SpreadPolicy == "" {
		c.Cutting.SpreadPolicy = shapes.SpreadFabric
	}
	from := map[string]map[string]string{} // fabric and roll of the plan -> what it is drawn from
	for _, f := range c.Fabrics {
		real := jobFabric(j, f.Name)
		n := needs.find(f.Name)
		if n == nil {
			continue
		}
		f.Rolls, from[f.Name] = rack(real, n.Length, j.Date, by)
	}
	rec, err := lay(ctx, c)
	if err != nil {
		return nil, err
	}
	out, err := measured(rec, store)
	if err != nil {
		return nil, err
	}
	out.Stopped = ctx.Err() != nil
	if out.Spreading != nil && needs.Spreading != nil {
		out.Spreading.FromJob = needs.Spreading.FromJob
	}
	out.taken = map[string]map[string]float64{}
	for i := range out.Fabrics {
		n := &out.Fabrics[i]
		out.taken[n.Fabric] = map[string]float64{}
		n.Length = 0
		f := jobFabric(c, n.Fabric)
		for k := range f.Rolls {
			r := &f.Rolls[k]
			used := drawnFrom(rec, n.Fabric, r)
			n.Length += used
			if key, ok := from[n.Fabric][r.Name]; ok {
				out.taken[n.Fabric][key] += used
			}
		}
		if old := needs.find(n.Fabric); old != nil {
			n.Plies = old.Plies
		}
	}
	return out, nil
}

// rack lists what a fabric is drawn from as rolls of a plan, with the new rolls
// that a length (mm) may ask for behind them. from says which roll or order
// each stands for.
func rack(f *shapes.Fabric, length float64, date, by shapes.Date) (rolls []shapes.Roll, from map[string]string) {
	from = map[string]string{}
	seen := map[string]bool{}
	add := func(r shapes.Roll, key string) {
		name := r.Name
		for i := 2; seen[r.Name]; i++ {
			r.Name = fmt.Sprintf("%s (%d)", name, i)
		}
		seen[r.Name] = true
		if key != "" {
			from[r.Name] = key
		}
		rolls = append(rolls, r)
	}
	for _, r := range usable(f) {
		if unfit(f, &r, date, by) != "" {
			continue
		}
		key := sourceKey(FromRoll, r.Name)
		if r.Length > 0 {
			// What others reserved is taken from the inner end.
			if r.Length -= r.Reserved; r.Length <= 0 {
				continue
			}
		}
		add(r, key)
		if r.Length == 0 {
			return rolls, from // as much as needed
		}
	}
	for _, o := range incoming(f) {
		if left := o.Length - o.Reserved; late(&o, by) == "" && left > 0 {
			add(shapes.Roll{Name: o.Name, Length: left}, sourceKey(FromOrder, o.Name))
		}
	}
	if f.Bought().Unit == shapes.PerRoll && f.DeliveryLength > 0 {
		// Twice the need, and one: ends of rolls never lose more.
		for range int(math.Ceil(2*length/f.DeliveryLength)) + 1 {
			add(shapes.Roll{Name: "new", Length: f.DeliveryLength}, "")
		}
		return rolls, from
	}
	add(shapes.Roll{Name: "new"}, "")
	return rolls, from
}

// drawnFrom is how much of a roll a plan uses up, mm: everything sound up to
// the end of its last layout, and the rest where that is too short to keep. Of
// a roll without end it is what the layouts draw.
func drawnFrom(rec *nest.Record, fabric string, r *shapes.Roll) float64 {
	end, lost := 0.0, 0.0
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		for _, ly := range l.Layers {
			if ly.Fabric != fabric || ly.Roll != r.Name {
				continue
			}
			end = math.Max(end, ly.RollFrom+l.Length)
			lost += l.RollEnd + ly.RollEnd
		}
	}
	used := 0.0
	for _, s := range stretches(r, end+lost) {
		used += s.To - s.From
	}
	return used
}
