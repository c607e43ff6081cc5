package plan

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes"
)

// maxDivisionTrials bounds the ways to divide plies that are laid for one
// fabric, the largest plies first.
const maxDivisionTrials = 24

// divisionPieces is about how many pieces of a fabric, the largest, are laid in
// a trial: small plies find room between the large ones however those lie.
const divisionPieces = 24

// divisionShare is the share of the time that laying a fabric whole, and again
// divided, may take each.
const divisionShare = 0.1

// expand lists the pieces of the job with some plies divided on purpose, and
// takes them for what is to be laid.
func (p *planner) expand(ways map[*shapes.Ply]demand.Way) shapes.Problems {
	room := func(f *shapes.Fabric) demand.Room { return p.fullRoom(p.fabrics[f.Name]).room() }
	pieces, table, problems := demand.ExpandDivided(p.job, room, ways)
	if problems.Err() == nil {
		p.setDemand(pieces, table)
		clear(p.tried)
	}
	return problems
}

// A division is a choice of plies to divide, and what one fabric then comes to.
type division struct {
	ways    map[*shapes.Ply]demand.Way
	missing int
	length  float64 // mm
	drawn   float64 // mm²
	owed    float64 // what its seams have to save, mm²
}

// better reports whether a division saves more than its seams have to, against
// another: fewer pieces without room come before any fabric.
func (d *division) better(o *division) bool {
	if d.missing != o.missing {
		return d.missing < o.missing
	}
	return d.drawn+d.owed < o.drawn+o.owed-1
}

// divide chooses, fabric by fabric, which of the plies that may be divided to
// save fabric are, and leaves the demand so. Each ply in its turn, the largest
// first, is laid in every way worth trying (demand.Ways) beside the other large
// plies, with those before it divided as chosen; the way that saves most is kept if it saves more than the
// job asks of its seams (split.min_saving for each seam). What comes out is
// laid whole and divided once more with equal searches, and only if that saves
// enough as well are the plies divided. A ply is divided too where nothing else
// lets every piece find room.
func (p *planner) divide(ctx context.Context) error {
	chosen := map[*shapes.Ply]demand.Way{}
	for _, f := range p.order {
		large := p.large(f)
		plies := p.divisible(f, large)
		if len(plies) == 0 || ctx.Err() != nil {
			continue
		}
		whole, err := p.laidDivided(ctx, f, chosen, large, budget{trial: true})
		if err != nil {
			return err
		}
		best, tried, err := p.chooseDivision(ctx, f, plies, large, whole)
		if err != nil {
			return err
		}
		if best != whole {
			if best, whole, err = p.confirm(ctx, f, best, whole); err != nil {
				return err
			}
		}
		if best == nil || best == whole {
			p.notes = append(p.notes, fmt.Sprintf("fabric %q: of the %s that may be divided to save fabric none is: of %s tried none saves what the job asks of its seams",
				f.Name, count(len(plies), "ply", "plies"), count(tried, "way", "ways")))
			continue
		}
		chosen = best.ways
		p.divisions = append(p.divisions, p.divisionOf(f, best, whole))
	}
	if problems := p.expand(chosen); problems.Err() != nil {
		return &CannotLay{Problems: problems.Faults()}
	}
	return nil
}

// A plyKey is one ply of a part.
type plyKey struct{ part, ply string }

func plyOf(d *nest.Demand) plyKey {
	if d.Panel != nil {
		return plyKey{d.Part, d.Panel.Ply}
	}
	return plyKey{d.Part, d.Ply}
}

// large are the largest plies of a fabric, up to divisionPieces of them.
func (p *planner) large(f *shapes.Fabric) map[plyKey]bool {
	type size struct {
		plyKey
		area   float64 // of one piece, mm²
		pieces int
	}
	var all []*size
	at := map[plyKey]*size{}
	for i := range p.demand {
		d := &p.demand[i]
		if d.Fabric != f.Name {
			continue
		}
		k := plyOf(d)
		if at[k] == nil {
			at[k] = &size{plyKey: k}
			all = append(all, at[k])
		}
		at[k].pieces++
		at[k].area = max(at[k].area, polygonArea(p.shapes[d.Shape].Cut))
	}
	slices.SortStableFunc(all, func(a, b *size) int { return cmp.Compare(b.area, a.area) })
	out := map[plyKey]bool{}
	for n := 0; len(all) > 0 && n < divisionPieces; all = all[1:] {
		n += all[0].pieces
		out[all[0].plyKey] = true
	}
	return out
}

// divisible lists those large plies of a fabric that fit whole and may be
// divided, the largest first.
func (p *planner) divisible(f *shapes.Fabric, large map[plyKey]bool) []*shapes.Ply {
	whole := map[plyKey]float64{}
	for i := range p.demand {
		if d := &p.demand[i]; d.Fabric == f.Name && d.Panel == nil {
			whole[plyOf(d)] = polygonArea(p.shapes[d.Shape].Cut)
		}
	}
	var out []*shapes.Ply
	area := map[*shapes.Ply]float64{}
	for _, part := range p.job.Parts {
		for _, ply := range part.Plies {
			k := plyKey{part.Name, ply.Name}
			if a, ok := whole[k]; ok && large[k] && ply.Split != nil && ply.Split.Allowed {
				area[ply] = a
				out = append(out, ply)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *shapes.Ply) int { return cmp.Compare(area[b], area[a]) })
	return out
}

// laidDivided lays one fabric with plies divided, or some of its plies; nil
// where they cannot be. No plies means all.
func (p *planner) laidDivided(ctx context.Context, f *shapes.Fabric, ways map[*shapes.Ply]demand.Way, only map[plyKey]bool, b budget) (*division, error) {
	if p.expand(ways).Err() != nil {
		return nil, nil
	}
	var of []int
	out := &division{ways: ways}
	for i := range p.demand {
		if d := &p.demand[i]; d.Fabric == f.Name && (only == nil || only[plyOf(d)]) {
			of = append(of, i)
		}
	}
	out.owed = p.owed(f, ways)
	dr, err := p.lay(ctx, scheme{rest: of}, b)
	if err != nil {
		return nil, err
	}
	out.missing, out.drawn = len(dr.missing), p.drawn(dr.layouts)
	for i := range dr.layouts {
		for k := range dr.layouts[i].Layers {
			out.length += p.layerLength(&dr.layouts[i], &dr.layouts[i].Layers[k])
		}
	}
	return out, nil
}

// owed is what the seams of a fabric's plies divided on purpose have to save,
// mm²: each split.min_saving of the fabric's width.
func (p *planner) owed(f *shapes.Fabric, ways map[*shapes.Ply]demand.Way) float64 {
	sum := 0.0
	for _, part := range p.job.Parts {
		for _, ply := range part.Plies {
			if _, ok := ways[ply]; !ok || p.fabrics[ply.Fabric.Name] != f {
				continue
			}
			sum += float64(ply.Split.MinSaving * f.Width * float64(p.seamsOf(part, ply)*ply.Count*part.Units))
		}
	}
	return sum
}

// seamsOf is how many seams each piece of a ply has.
func (p *planner) seamsOf(part *shapes.Part, ply *shapes.Ply) int {
	for _, d := range p.demand {
		if d.Part == part.Name && d.Panel != nil && d.Panel.Ply == ply.Name {
			return len(d.Panel.Seams) + len(d.Panel.CrossSeams)
		}
	}
	return 0
}

// chooseDivision tries the ways of each ply in its turn, and returns the best
// choice, whole where none is better, and how many were laid.
func (p *planner) chooseDivision(ctx context.Context, f *shapes.Fabric, plies []*shapes.Ply, large map[plyKey]bool, whole *division) (*division, int, error) {
	best, tried, took := whole, 0, time.Duration(0)
	room := p.fullRoom(f).room()
	for _, ply := range plies {
		so := best
		for _, way := range demand.Ways(ply, p.cutOf(ply, best.ways), room) {
			if tried >= maxDivisionTrials || !p.affords(ctx, took) {
				return best, tried, nil
			}
			ways := maps.Clone(so.ways)
			ways[ply] = way
			began := time.Now()
			d, err := p.laidDivided(ctx, f, ways, large, budget{trial: true})
			if err != nil {
				return nil, tried, err
			}
			tried++
			took = max(took, time.Since(began))
			if d != nil && d.better(best) {
				best = d
			}
		}
	}
	return best, tried, nil
}

// cutOf is the shape of a whole ply as cut.
func (p *planner) cutOf(ply *shapes.Ply, ways map[*shapes.Ply]demand.Way) nest.Polygon {
	p.expand(ways)
	for _, part := range p.job.Parts {
		if !slices.Contains(part.Plies, ply) {
			continue
		}
		for _, d := range p.demand {
			if d.Part == part.Name && d.Ply == ply.Name && d.Panel == nil {
				return p.shapes[d.Shape].Cut
			}
		}
	}
	return nest.Polygon{}
}

// confirm lays a fabric divided and whole with equal searches. It returns nil
// for the first where dividing does not save enough.
func (p *planner) confirm(ctx context.Context, f *shapes.Fabric, best, whole *division) (*division, *division, error) {
	var out [2]*division
	for i, d := range []*division{best, whole} {
		b := budget{effort: p.settings.Effort}
		if b.effort == 0 {
			b.until = time.Now().Add(time.Duration(divisionShare * float64(p.settings.Time)))
		}
		var err error
		if out[i], err = p.laidDivided(ctx, f, d.ways, nil, b); err != nil {
			return nil, nil, err
		}
	}
	if out[0] == nil || out[1] == nil || !out[0].better(out[1]) {
		return nil, out[1], nil
	}
	return out[0], out[1], nil
}

// divisionOf words a division for the record. The demand is laid out divided.
func (p *planner) divisionOf(f *shapes.Fabric, d, whole *division) nest.Division {
	p.expand(d.ways)
	out := nest.Division{Fabric: f.Name, WholeLength: nest.Round(whole.length), WholeDrawn: nest.Round(whole.drawn),
		Length: nest.Round(d.length), Drawn: nest.Round(d.drawn), Asked: nest.Round(d.owed - whole.owed),
		Homeless: max(0, whole.missing-d.missing)}
	for _, part := range p.job.Parts {
		for _, ply := range part.Plies {
			if _, ok := d.ways[ply]; !ok || p.fabrics[ply.Fabric.Name] != f {
				continue
			}
			divided := nest.DividedPly{Part: part.Name, Ply: ply.Name, Pieces: ply.Count * part.Units}
			for _, piece := range p.demand {
				if piece.Part == part.Name && piece.Panel != nil && piece.Panel.Ply == ply.Name {
					divided.Panels = piece.Panel.Of
					divided.LapArea += p.shapes[piece.Shape].LapArea
				}
			}
			divided.LapArea = nest.Round(divided.LapArea)
			out.Plies = append(out.Plies, divided)
		}
	}
	return out
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
