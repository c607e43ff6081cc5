package simplex

// basis is the factorised basis with the changes made to it since: each change
// replaced one column, and is kept as that column in terms of the basis before
// it (the product form of the inverse).
type basis struct {
	lu factors

	etaPos   []int32   // the position replaced
	etaPivot []float64 // the replacing column's entry there
	etaStart []int32
	etaIdx   []int32 // its other entries
	etaVal   []float64
}

// clearUpdates forgets the changes after a new factorisation.
func (b *basis) clearUpdates() {
	b.etaPos, b.etaPivot = b.etaPos[:0], b.etaPivot[:0]
	b.etaIdx, b.etaVal = b.etaIdx[:0], b.etaVal[:0]
	b.etaStart = append(b.etaStart[:0], 0)
}

func (b *basis) updates() int { return len(b.etaPos) }

// replace records that the column at position r was replaced by one that is
// alpha in terms of the present basis.
func (b *basis) replace(r int, alpha []float64) {
	b.etaPos = append(b.etaPos, int32(r))
	b.etaPivot = append(b.etaPivot, alpha[r])
	for i, v := range alpha {
		if v != 0 && i != r {
			b.etaIdx = append(b.etaIdx, int32(i))
			b.etaVal = append(b.etaVal, v)
		}
	}
	b.etaStart = append(b.etaStart, int32(len(b.etaIdx)))
}

// solve finds x with B·x = w. It uses w up.
func (b *basis) solve(w, x []float64) {
	b.lu.solve(w, x)
	for s, r := range b.etaPos {
		v := x[r]
		if v == 0 {
			continue
		}
		v /= b.etaPivot[s]
		x[r] = v
		for e := b.etaStart[s]; e < b.etaStart[s+1]; e++ {
			x[b.etaIdx[e]] -= float64(b.etaVal[e] * v)
		}
	}
}

// solveTransposed finds x with Bᵀ·x = w. It uses w up.
func (b *basis) solveTransposed(w, x []float64) {
	for s := len(b.etaPos) - 1; s >= 0; s-- {
		r := b.etaPos[s]
		sum := w[r]
		for e := b.etaStart[s]; e < b.etaStart[s+1]; e++ {
			sum -= float64(b.etaVal[e] * w[b.etaIdx[e]])
		}
		w[r] = sum / b.etaPivot[s]
	}
	b.lu.solveTransposed(w, x)
}
