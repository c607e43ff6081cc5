package simplex

// A Program asks for the z of least Cost·z with Lo <= z <= Hi and a·z >= b for
// each row. All bounds must be finite, with Lo <= Hi.
type Program struct {
	Cost, Lo, Hi []float64

	start []int32 // row r has entries start[r] to start[r+1]
	col   []int32
	val   []float64
	rhs   []float64
}

// Reset empties the program and gives it n variables with zero cost and bounds.
func (p *Program) Reset(n int) {
	p.Cost = zeros(p.Cost, n)
	p.Lo = zeros(p.Lo, n)
	p.Hi = zeros(p.Hi, n)
	p.start = append(p.start[:0], 0)
	p.col, p.val, p.rhs = p.col[:0], p.val[:0], p.rhs[:0]
}

// Variables returns the number of variables.
func (p *Program) Variables() int { return len(p.Cost) }

// Rows returns the number of rows.
func (p *Program) Rows() int { return len(p.rhs) }

// Add puts a coefficient into the row being built. A row may name a variable
// once only.
func (p *Program) Add(variable int, coefficient float64) {
	if coefficient == 0 {
		return
	}
	p.col = append(p.col, int32(variable))
	p.val = append(p.val, coefficient)
}

// Close ends the row being built with its right-hand side and returns its
// index.
func (p *Program) Close(rhs float64) int {
	p.start = append(p.start, int32(len(p.col)))
	p.rhs = append(p.rhs, rhs)
	return len(p.rhs) - 1
}

// Activity returns a·z of a row.
func (p *Program) Activity(row int, z []float64) float64 {
	sum := 0.0
	for e := p.start[row]; e < p.start[row+1]; e++ {
		sum += float64(p.val[e] * z[p.col[e]])
	}
	return sum
}

// Violation returns the furthest any row or bound is from holding at z.
func (p *Program) Violation(z []float64) float64 {
	worst := 0.0
	for k, v := range z {
		worst = max(worst, p.Lo[k]-v, v-p.Hi[k])
	}
	for r, b := range p.rhs {
		worst = max(worst, b-p.Activity(r, z))
	}
	return worst
}

// zeros returns s with length n and all zero, reusing its memory.
func zeros(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	s = s[:n]
	clear(s)
	return s
}
