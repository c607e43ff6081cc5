package simplex

import (
	"context"
	"math"
	"slices"
)

const (
	// pivotTolerance is the least size of an entry that can leave the basis.
	pivotTolerance = 1e-9
	// poorPivot is the size below which a pivot is tried again with a fresh
	// factorisation.
	poorPivot = 1e-6
	// dualTolerance is how far a multiplier may be on the wrong side of zero,
	// relative to the largest cost, for the sake of a larger pivot.
	dualTolerance = 1e-13
	// refactorAfter is the number of updates after which the basis is
	// factorised anew.
	refactorAfter = 48
	// contextEvery is the number of pivots between two looks at the context.
	contextEvery = 32
)

// Status says how a solve ended.
type Status int

const (
	// Optimal: no constraint is violated by more than the tolerance.
	Optimal Status = iota
	// Infeasible: no point satisfies all constraints.
	Infeasible
	// Stalled: the limit on pivots was reached.
	Stalled
	// Cancelled: the context ended.
	Cancelled
)

// String returns the status in one lower-case word.
func (s Status) String() string {
	return [...]string{"optimal", "infeasible", "stalled", "cancelled"}[s]
}

// A Solution is the outcome of a solve. Its slices belong to the solver and
// last until its next use.
type Solution struct {
	Status Status
	// Z are the variables.
	Z []float64
	// Multipliers has one entry for each row: by how much the objective grows
	// for each unit that the row's right-hand side grows. Rows that do not
	// bind have zero.
	Multipliers []float64
	// Basis lists the binding constraints, as many as there are variables: k
	// below that number stands for a bound of variable k, others for the row
	// whose index is that much less.
	Basis []int32
	// Pivots counts the changes of basis.
	Pivots int
}

// A Solver solves programs one after another and reuses its memory. The zero
// value is ready to use. It is not safe for concurrent use.
type Solver struct {
	// Tolerance is how far a constraint may be violated. Zero means 1e-9.
	Tolerance float64
	// MaxPivots limits the changes of basis; zero means 100 for each variable
	// and 1000 more.
	MaxPivots int

	p       *Program
	n       int
	basis   basis
	basic   []int32   // by position: k < n is the bound of variable k, n+r row r
	where   []int32   // by constraint: its position, or -1
	upper   []bool    // by constraint: whether its upper bound binds, when basic
	lo, hi  []float64 // by constraint; a row's upper bound is implied by the variables'
	y       []float64
	z       []float64
	slack   []float64 // by row: a·z - b
	weight  []float64 // devex weights by constraint
	alpha   []float64
	w, x    []float64
	rho     []float64
	each    []int32 // the numbers from 0
	flipped []int32
	breaks  []breakpoint
	mult    []float64
	dualTol float64
	column  sparseColumn
	columns columns
}

type breakpoint struct {
	step float64
	pos  int32
}

// Solve finds the best z of p. The context is looked at between pivots. The
// hint lists constraints likely to bind, in the manner of Solution.Basis, such
// as those that bound a program of the same costs before; it may be nil, too
// short, or wrong, and changes only the time taken and which of several best
// points is found.
func (s *Solver) Solve(ctx context.Context, p *Program, hint []int32) Solution {
	s.begin(p, hint)
	tol := s.tolerance()
	limit := s.MaxPivots
	if limit == 0 {
		limit = 100*s.n + 1000
	}
	pivots := 0
	status := Optimal
	for r := range p.rhs {
		if s.lo[s.n+r]-s.hi[s.n+r] > tol {
			status = Infeasible
		}
	}
	for status == Optimal {
		if pivots%contextEvery == 0 && ctx.Err() != nil {
			status = Cancelled
			break
		}
		if s.basis.updates() >= refactorAfter {
			s.refactor()
		}
		q, sign := s.price(tol)
		if q < 0 {
			if s.basis.updates() == 0 {
				break
			}
			s.refactor()
			if q, sign = s.price(tol); q < 0 {
				break
			}
		}
		if pivots >= limit {
			status = Stalled
			break
		}
		if !s.pivot(q, sign) {
			if s.basis.updates() == 0 {
				status = Infeasible
				break
			}
			s.refactor()
			continue
		}
		pivots++
	}
	if status == Optimal {
		s.refine()
	}
	return Solution{Status: status, Z: s.z, Multipliers: s.multipliers(), Basis: s.basic, Pivots: pivots}
}

func (s *Solver) tolerance() float64 {
	if s.Tolerance == 0 {
		return 1e-9
	}
	return s.Tolerance
}

// begin sets up the basis: the constraints of the hint as far as they are
// independent, bounds of variables for the rest. As rows have two bounds too,
// each constraint is put at the one that its multiplier's sign asks for, and
// the basis is dual feasible whatever it is.
func (s *Solver) begin(p *Program, hint []int32) {
	n, m := p.Variables(), p.Rows()
	s.p, s.n = p, n
	s.y = zeros(s.y, n)
	s.z = zeros(s.z, n)
	s.alpha = zeros(s.alpha, n)
	s.w, s.x = zeros(s.w, n), zeros(s.x, n)
	s.rho = zeros(s.rho, n)
	s.slack = zeros(s.slack, m)
	s.weight = zeros(s.weight, n+m)
	s.mult = zeros(s.mult, m)
	for i := range s.weight {
		s.weight[i] = 1
	}
	for k := len(s.each); k < n; k++ {
		s.each = append(s.each, int32(k))
	}
	s.setBounds()
	s.columns.load(p)
	s.upper = resize(s.upper, n+m)
	clear(s.upper)
	s.where = resize(s.where, n+m)
	for i := range s.where {
		s.where[i] = -1
	}
	largest := 0.0
	for _, c := range p.Cost {
		largest = max(largest, math.Abs(c))
	}
	s.dualTol = dualTolerance * largest
	s.takeHint(hint)
	s.column = s.basicColumn
	s.refactor()
}

// takeHint fills the basis with the hint, then with bounds not in it; what is
// dependent among them is replaced when the basis is factorised.
func (s *Solver) takeHint(hint []int32) {
	s.basic = resize(s.basic, s.n)
	pos := 0
	take := func(c int32) {
		if pos < s.n && c >= 0 && int(c) < len(s.where) && s.where[c] < 0 {
			s.basic[pos] = c
			s.where[c] = int32(pos)
			pos++
		}
	}
	for _, c := range hint {
		take(c)
	}
	for k := range s.n {
		take(int32(k))
	}
}

// setBounds collects the bounds of variables and rows. No row can come to more
// than its variables' bounds allow, so that even rows have two.
func (s *Solver) setBounds() {
	p := s.p
	s.lo = append(append(s.lo[:0], p.Lo...), p.rhs...)
	s.hi = append(s.hi[:0], p.Hi...)
	for r := range p.rhs {
		most := 0.0
		for e := p.start[r]; e < p.start[r+1]; e++ {
			k := p.col[e]
			most += max(float64(p.val[e]*p.Lo[k]), float64(p.val[e]*p.Hi[k]))
		}
		s.hi = append(s.hi, most)
	}
}

func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// basicColumn returns the coefficients of the constraint at a basis position.
func (s *Solver) basicColumn(pos int) (variables []int32, coefficients []float64) {
	return s.entries(s.basic[pos])
}

// entries returns the coefficients of a constraint.
func (s *Solver) entries(constraint int32) (variables []int32, coefficients []float64) {
	if k := int(constraint); k < s.n {
		return s.each[k : k+1], one
	}
	r := int(constraint) - s.n
	from, to := s.p.start[r], s.p.start[r+1]
	return s.p.col[from:to], s.p.val[from:to]
}

var one = []float64{1}

// activity returns the value of a constraint at z.
func (s *Solver) activity(constraint int32) float64 {
	if k := int(constraint); k < s.n {
		return s.z[k]
	}
	return s.p.Activity(int(constraint)-s.n, s.z)
}

// refactor factorises the basis and computes all that follows from it anew. A
// basis that has become singular is mended with bounds.
func (s *Solver) refactor() {
	for s.basis.lu.factor(s.n, s.column) < s.n {
		cols, rows := s.basis.lu.unpivoted()
		for i, c := range cols {
			s.where[s.basic[c]] = -1
			s.basic[c] = rows[i]
			s.where[rows[i]] = c
		}
	}
	s.basis.clearUpdates()

	copy(s.w, s.p.Cost)
	s.basis.solve(s.w, s.y)
	for pos, c := range s.basic {
		switch {
		case s.y[pos] > s.dualTol:
			s.upper[c] = false
		case s.y[pos] < -s.dualTol:
			s.upper[c] = true
		default:
			s.y[pos] = 0
		}
	}
	for pos := range s.basic {
		s.w[pos] = s.bound(pos)
	}
	s.basis.solveTransposed(s.w, s.z)
	s.updateSlack()
}

// refine improves z by one step of iterative refinement.
func (s *Solver) refine() {
	for pos := range s.basic {
		s.w[pos] = s.bound(pos) - s.activity(s.basic[pos])
	}
	s.basis.solveTransposed(s.w, s.x)
	for k, d := range s.x {
		s.z[k] += d
	}
	// Rounding may have left a binding bound by an ulp.
	for k := range s.z {
		s.z[k] = min(max(s.z[k], s.p.Lo[k]), s.p.Hi[k])
	}
}

// bound returns the value that the constraint at a basis position has at z.
func (s *Solver) bound(pos int) float64 {
	c := s.basic[pos]
	if s.upper[c] {
		return s.hi[c]
	}
	return s.lo[c]
}

func (s *Solver) updateSlack() {
	for r, b := range s.p.rhs {
		s.slack[r] = s.p.Activity(r, s.z) - b
	}
}

// price chooses the constraint to enter: the one most violated for its devex
// weight. The sign is -1 for an upper bound. It returns -1 where nothing is
// violated by more than tol.
func (s *Solver) price(tol float64) (constraint int, sign float64) {
	constraint = -1
	best := 0.0
	for k := range s.n {
		if s.where[k] >= 0 {
			continue
		}
		v, side := s.p.Lo[k]-s.z[k], 1.0
		if over := s.z[k] - s.p.Hi[k]; over > v {
			v, side = over, -1
		}
		if v > tol {
			if score := v * v / s.weight[k]; score > best {
				best, constraint, sign = score, k, side
			}
		}
	}
	for r, v := range s.slack {
		if v < -tol && s.where[s.n+r] < 0 {
			if score := v * v / s.weight[s.n+r]; score > best {
				best, constraint, sign = score, s.n+r, 1
			}
		}
	}
	return constraint, sign
}

// pivot brings a violated constraint into the basis. It returns false where no
// constraint can leave for it, or only one with a poor pivot and there is hope
// in a fresh factorisation.
func (s *Solver) pivot(q int, sign float64) bool {
	clear(s.w)
	variables, coefficients := s.entries(int32(q))
	for e, k := range variables {
		s.w[k] = coefficients[e]
	}
	violation := sign * (s.entering(q, sign) - s.activity(int32(q)))
	s.basis.solve(s.w, s.alpha)

	leave, step := s.ratio(sign, violation)
	if leave < 0 {
		return false
	}
	if math.Abs(s.alpha[leave]) < poorPivot && s.basis.updates() > 0 {
		return false
	}

	// Flip the bounds passed over, then move along the edge that the leaving
	// constraint frees until the entering one holds.
	if len(s.flipped) > 0 {
		clear(s.w)
		for _, pos := range s.flipped {
			k := s.basic[pos]
			old := s.bound(int(pos))
			s.upper[k] = !s.upper[k]
			s.w[pos] = s.bound(int(pos)) - old
		}
		s.basis.solveTransposed(s.w, s.x)
		for k, d := range s.x {
			s.z[k] += d
		}
		s.columns.multiply(s.x)
		for _, r := range s.columns.touched {
			s.slack[r] += s.columns.product[r]
		}
	}
	clear(s.w)
	s.w[leave] = 1
	s.basis.solveTransposed(s.w, s.rho)
	along := (s.entering(q, sign) - s.activity(int32(q))) / s.alpha[leave]
	for k, d := range s.rho {
		if d != 0 {
			s.z[k] += float64(along * d)
		}
	}
	s.columns.multiply(s.rho)
	for _, r := range s.columns.touched {
		s.slack[r] += float64(along * s.columns.product[r])
	}
	s.reweigh(q, leave)

	change := step * sign
	for pos, a := range s.alpha {
		if a != 0 {
			s.y[pos] -= float64(change * a)
			if !s.upper[s.basic[pos]] {
				s.y[pos] = max(s.y[pos], 0)
			} else {
				s.y[pos] = min(s.y[pos], 0)
			}
		}
	}
	s.basis.replace(leave, s.alpha)
	s.where[s.basic[leave]] = -1
	s.basic[leave] = int32(q)
	s.where[q] = int32(leave)
	s.y[leave] = change
	s.upper[q] = sign < 0
	return true
}

// entering returns the value that an entering constraint is to have.
func (s *Solver) entering(q int, sign float64) float64 {
	if sign < 0 {
		return s.hi[q]
	}
	return s.lo[q]
}

// ratio chooses the position to leave and the length of the dual step. Bounds
// whose flip leaves the entering constraint violated are passed over and
// listed in flipped.
func (s *Solver) ratio(sign, violation float64) (leave int, step float64) {
	tol := s.tolerance()
	s.breaks = s.breaks[:0]
	s.flipped = s.flipped[:0]
	for pos, a := range s.alpha {
		if math.Abs(a) <= pivotTolerance {
			continue
		}
		a *= sign
		c := s.basic[pos]
		if s.lo[c] == s.hi[c] {
			continue // an equation's multiplier may have either sign
		}
		if s.upper[c] {
			a = -a
		}
		if a > 0 {
			s.breaks = append(s.breaks, breakpoint{math.Abs(s.y[pos]) / a, int32(pos)})
		}
	}
	slices.SortFunc(s.breaks, func(a, b breakpoint) int {
		switch {
		case a.step < b.step:
			return -1
		case a.step > b.step:
			return 1
		default:
			return int(a.pos - b.pos)
		}
	})
	for i, b := range s.breaks {
		c := s.basic[b.pos]
		violation -= float64(math.Abs(s.alpha[b.pos]) * (s.hi[c] - s.lo[c]))
		if violation > tol {
			s.flipped = append(s.flipped, b.pos)
			continue
		}
		return s.largest(i)
	}
	return -1, 0
}

// largest chooses, among breakpoint i and those hardly after it, the one with
// the largest pivot.
func (s *Solver) largest(i int) (leave int, step float64) {
	leave, step = int(s.breaks[i].pos), s.breaks[i].step
	size := math.Abs(s.alpha[leave])
	// Beyond limit some multiplier would leave its side by more than dualTol.
	limit := step + s.dualTol/size
	for _, b := range s.breaks[i+1:] {
		if b.step > limit {
			break
		}
		a := math.Abs(s.alpha[b.pos])
		limit = min(limit, b.step+s.dualTol/a)
		if a > size {
			leave, step, size = int(b.pos), b.step, a
		}
	}
	return leave, step
}

// reweigh updates the devex weights for a pivot; it must be called before the
// basis changes, with rho the row of the leaving position and the columns'
// product the rows times rho.
func (s *Solver) reweigh(q, leave int) {
	pivot := s.alpha[leave]
	reference := s.weight[q]
	scale := reference / float64(pivot*pivot)
	largest := 0.0
	for k, d := range s.rho {
		if d != 0 && s.where[k] < 0 {
			s.weight[k] = max(s.weight[k], float64(d*d)*scale)
			largest = max(largest, s.weight[k])
		}
	}
	for _, r := range s.columns.touched {
		if c := s.n + int(r); s.where[c] < 0 {
			a := s.columns.product[r]
			s.weight[c] = max(s.weight[c], float64(a*a)*scale)
			largest = max(largest, s.weight[c])
		}
	}
	s.weight[s.basic[leave]] = max(scale, 1)
	if largest > 1e8 {
		for i := range s.weight {
			s.weight[i] = 1
		}
	}
}

func (s *Solver) multipliers() []float64 {
	for pos, c := range s.basic {
		if int(c) >= s.n && !s.upper[c] {
			s.mult[int(c)-s.n] = s.y[pos]
		}
	}
	return s.mult
}
