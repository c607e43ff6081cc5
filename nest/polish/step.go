package polish

import (
	"context"
	"slices"

	"plyroom/nest/polish/internal/simplex"
)

const (
	// pull and drop are the costs of x and y, summed over all pieces, beside
	// the length's cost of 1: between layouts of equal length the one further
	// to the start, then further down, is taken. They also tell vertices of
	// equal length apart, without which the simplex method would stall.
	pull = 1e-3
	drop = 1e-4
	// penalty is the cost of a unit of overlap. It must exceed what the length
	// can gain from it, which for wedges of small angle is many times as much.
	penalty = 1e3
)

// A step moves all pieces by one linear program.
type step struct {
	l      *layout
	choose chooser
	solver simplex.Solver
	lp     simplex.Program

	relations []relation
	slack     []int32 // by relation: which overlap variable it has, or -1
	depths    []float64
	variable  []int32 // by body: the variable of its x; -1 for fixed bodies
	used      []int32 // by row: its relation, or -1
	binding   []binding

	// rowKey names each row; hint is made from the names of those that bound
	// the step before.
	rowKey []rowKey
	bound  map[rowKey]bool // looked up only
	bounds []int32         // variables whose bounds bound the step before
	hint   []int32
}

// rowKey names a row of the program across steps.
type rowKey struct {
	parts partPair
	edge  int32
}

// goal is what a step aims for.
type goal struct {
	// end is the greatest length allowed.
	end float64
	// shorten is whether the length counts at all.
	shorten bool
}

// outcome is what a step came to.
type outcome struct {
	status simplex.Status
	// before is the total overlap at the start of the step, by its relations;
	// after is what the program left of it.
	before, after float64
	pivots        int
}

// run chooses relations at the present positions, moves the pieces to the best
// positions within reach, and leaves the relations that bind in s.binding.
func (s *step) run(ctx context.Context, reach float64, g goal) outcome {
	s.collect(reach)
	before := 0.0
	for _, d := range s.depths {
		before += d
	}
	s.build(reach, g)
	s.solver.Tolerance = s.l.tolerance() / 4
	solution := s.solver.Solve(ctx, &s.lp, s.makeHint())
	out := outcome{status: solution.Status, before: before, pivots: solution.Pivots}
	if solution.Status != simplex.Optimal {
		return out
	}
	for b, v := range s.variable {
		if v >= 0 {
			s.l.at[b][0] += solution.Z[v]
			s.l.at[b][1] += solution.Z[v+1]
		}
	}
	for k := range s.depths {
		out.after += solution.Z[s.lp.Variables()-len(s.depths)+k]
	}
	s.markBinding(solution)
	s.keepBasis(solution)
	return out
}

// keepBasis remembers which constraints were in the final basis.
func (s *step) keepBasis(solution simplex.Solution) {
	if s.bound == nil {
		s.bound = make(map[rowKey]bool)
	}
	clear(s.bound)
	s.bounds = s.bounds[:0]
	n := int32(s.lp.Variables())
	for _, c := range solution.Basis {
		if c >= n {
			s.bound[s.rowKey[c-n]] = true
		} else if c < n-int32(len(s.depths)) {
			s.bounds = append(s.bounds, c)
		}
	}
}

// makeHint lists the constraints of the present program that were in the final
// basis of the one before. As costs and normals have not changed, little is
// left to do where the pieces do not move.
func (s *step) makeHint() []int32 {
	s.hint = append(s.hint[:0], s.bounds...)
	n := int32(s.lp.Variables())
	for row, key := range s.rowKey {
		if s.bound[key] {
			s.hint = append(s.hint, n+int32(row))
		}
	}
	return s.hint
}

// collect chooses the relations between all bodies near each other.
func (s *step) collect(reach float64) {
	l := s.l
	s.choose.l = l
	s.relations, s.slack, s.depths = s.relations[:0], s.slack[:0], s.depths[:0]
	l.eachNear(2*reach+l.gap, func(i, j int) {
		both := 2 * reach
		if l.fixed[i] || l.fixed[j] {
			both = reach
		}
		found := s.choose.choose(i, j, both)
		overlap := int32(-1)
		if found.depth > l.tolerance() {
			overlap = int32(len(s.depths))
			s.depths = append(s.depths, found.depth)
		}
		for _, r := range found.relations {
			s.relations = append(s.relations, r)
			s.slack = append(s.slack, overlap)
		}
	})
}

// build writes the linear program. Its variables are the pieces' moves, the
// change of length, and one overlap for each pair of bodies that overlap now;
// other pairs must not come to overlap.
func (s *step) build(reach float64, g goal) {
	l := s.l
	s.variable = s.variable[:0]
	n := int32(0)
	for b := range l.shape {
		if l.fixed[b] {
			s.variable = append(s.variable, -1)
			continue
		}
		s.variable = append(s.variable, n)
		n += 2
	}
	length := int(n)
	s.lp.Reset(length + 1 + len(s.depths))
	lp := &s.lp

	end := l.length()
	lp.Lo[length] = -reach
	lp.Hi[length] = max(g.end-end, 0)
	if len(s.depths) == 0 && g.shorten {
		lp.Hi[length] = 0
	} else {
		lp.Hi[length] = min(lp.Hi[length], reach)
	}
	if g.shorten {
		lp.Cost[length] = 1
	}
	s.rowKey = s.rowKey[:0]
	moving := float64(n/2) + 1
	for b, v := range s.variable {
		if v < 0 {
			if b < l.pieces {
				lp.Lo[length] = max(lp.Lo[length], l.bound(b).Max[0]-end)
			}
			continue
		}
		lowX, lowY, highY := l.room(b)
		x, y := l.at[b][0], l.at[b][1]
		lp.Lo[v], lp.Hi[v] = max(-reach, lowX-x), reach
		lp.Lo[v+1], lp.Hi[v+1] = max(-reach, lowY-y), min(reach, highY-y)
		for k := v; k <= v+1; k++ {
			// Rounding may leave a piece an ulp outside.
			lp.Lo[k] = min(lp.Lo[k], lp.Hi[k])
		}
		lp.Cost[v] = pull / moving * (1 + noise(uint64(v)))
		lp.Cost[v+1] = drop / moving * (1 + noise(uint64(v+1)))
		if behind := end - (x + l.shape[b].bound.Max[0]); behind <= 2*reach {
			lp.Add(length, 1)
			lp.Add(int(v), -1)
			lp.Close(-behind)
			s.rowKey = append(s.rowKey, rowKey{partPair{first: int32(b), second: -1}, -1})
		}
	}
	for k, d := range s.depths {
		lp.Hi[length+1+k] = d
		lp.Cost[length+1+k] = penalty
	}
	s.used = s.used[:0]
	first := lp.Rows()
	for len(s.used) < first {
		s.used = append(s.used, -1)
	}
	for k, r := range s.relations {
		i, j := r.parts.first, r.parts.second
		if v := s.variable[j]; v >= 0 {
			lp.Add(int(v), r.normal[0])
			lp.Add(int(v+1), r.normal[1])
		}
		if v := s.variable[i]; v >= 0 {
			lp.Add(int(v), -r.normal[0])
			lp.Add(int(v+1), -r.normal[1])
		}
		least := r.least - dot(r.normal, minus(l.at[j], l.at[i]))
		if o := s.slack[k]; o >= 0 {
			lp.Add(length+1+int(o), 1)
		} else if least > 0 {
			least = min(least, l.tolerance()) // rounding; see choose
		}
		lp.Close(least)
		s.rowKey = append(s.rowKey, rowKey{r.parts, r.edge})
		s.used = append(s.used, int32(k))
	}
}

// noise returns a number in [0, 1) that looks random and depends on k alone.
func noise(k uint64) float64 {
	// The mixing step of the splitmix64 generator.
	k = (k + 1) * 0x9e3779b97f4a7c15
	k = (k ^ k>>30) * 0xbf58476d1ce4e5b9
	k = (k ^ k>>27) * 0x94d049bb133111eb
	k ^= k >> 31
	return float64(float64(k>>11) / (1 << 53))
}

// markBinding keeps in s.binding the relations that the length depends on, the
// weightiest first.
func (s *step) markBinding(solution simplex.Solution) {
	s.binding = s.binding[:0]
	for row, y := range solution.Multipliers {
		if k := s.used[row]; k >= 0 && y > pull {
			s.binding = append(s.binding, binding{s.relations[k], y})
		}
	}
	slices.SortStableFunc(s.binding, func(a, b binding) int { return compareFloats(b.weight, a.weight) })
}

// binding is a relation that holds with equality, and by how much the length
// would shrink for each unit it gave way.
type binding struct {
	relation
	weight float64
}
