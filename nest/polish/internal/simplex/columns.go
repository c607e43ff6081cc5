package simplex

// columns is a program's rows stored by variables, to multiply them by sparse
// vectors.
type columns struct {
	start []int32 // variable k has entries start[k] to start[k+1]
	row   []int32
	val   []float64

	// product holds the latest product; it is zero but for the rows touched.
	product []float64
	touched []int32
	mark    []bool
}

func (c *columns) load(p *Program) {
	n, m, entries := p.Variables(), p.Rows(), len(p.col)
	c.start = resize(c.start, n+1)
	c.row = resize(c.row, entries)
	c.val = resize(c.val, entries)
	clear(c.start)
	for _, k := range p.col {
		c.start[k+1]++
	}
	for k := range n {
		c.start[k+1] += c.start[k]
	}
	// start[k] is moved along while column k is filled, and ends up where the
	// next begins.
	for r := range m {
		for e := p.start[r]; e < p.start[r+1]; e++ {
			at := c.start[p.col[e]]
			c.row[at], c.val[at] = int32(r), p.val[e]
			c.start[p.col[e]]++
		}
	}
	copy(c.start[1:], c.start)
	c.start[0] = 0
	c.product = zeros(c.product, m)
	c.touched = c.touched[:0]
	c.mark = resize(c.mark, m)
	clear(c.mark)
}

// multiply sets product to the rows times v.
func (c *columns) multiply(v []float64) {
	for _, r := range c.touched {
		c.product[r] = 0
		c.mark[r] = false
	}
	c.touched = c.touched[:0]
	for k, f := range v {
		if f == 0 {
			continue
		}
		for e := c.start[k]; e < c.start[k+1]; e++ {
			r := c.row[e]
			if !c.mark[r] {
				c.mark[r] = true
				c.touched = append(c.touched, r)
			}
			c.product[r] += float64(c.val[e] * f)
		}
	}
}
