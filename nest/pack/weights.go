package pack

// weights hold how much each pair's overlap counts: 1 to begin with, more for
// pairs that stay in overlap (guided local search, Voudouris and Tsang 1999;
// for packing, Egeblad, Nielsen and Odgaard 2007). Few plies keep a full
// matrix; many keep only the pairs that differ from 1. Either way, decay and
// reset touch only those pairs.
type weights struct {
	n      int
	dense  []float32
	raised []uint64 // keys of pairs above 1, where the matrix is kept
	sparse map[uint64]float32
	blocks []float32 // item by obstacle
	nb     int
}

// denseItems is the most items for which the matrix (4 bytes a pair) is kept.
const denseItems = 2000

func (w *weights) init(n, blocks int) {
	w.n, w.nb = n, blocks
	if n <= denseItems {
		w.dense = make([]float32, n*n)
		for i := range w.dense {
			w.dense[i] = 1
		}
	} else {
		w.sparse = make(map[uint64]float32)
	}
	w.blocks = make([]float32, n*blocks)
	w.reset()
}

func (w *weights) reset() {
	for _, k := range w.raised {
		w.set(k, 1)
	}
	w.raised = w.raised[:0]
	clear(w.sparse)
	for i := range w.blocks {
		w.blocks[i] = 1
	}
}

// set writes both halves of the matrix.
func (w *weights) set(key uint64, v float32) {
	i, j := int(key>>32), int(uint32(key))
	w.dense[i*w.n+j], w.dense[j*w.n+i] = v, v
}

func (w *weights) pair(i, j int32) float64 {
	if w.dense != nil {
		return float64(w.dense[int(i)*w.n+int(j)])
	}
	if v, ok := w.sparse[pairKey(i, j)]; ok {
		return float64(v)
	}
	return 1
}

func pairKey(i, j int32) uint64 {
	if i > j {
		i, j = j, i
	}
	return uint64(i)<<32 | uint64(j)
}

func (w *weights) block(i int32, k int) float64 { return float64(w.blocks[int(i)*w.nb+k]) }

// maxWeight keeps weights finite; beyond it a pair outweighs everything else
// there is anyway.
const maxWeight = 1e12

// scalePair multiplies a weight by f, which is above 1.
func (w *weights) scalePair(i, j int32, f float32) {
	k := pairKey(i, j)
	if w.dense != nil {
		v := w.dense[int(i)*w.n+int(j)]
		if v == 1 {
			w.raised = append(w.raised, k)
		}
		w.set(k, min(v*f, maxWeight))
		return
	}
	v, ok := w.sparse[k]
	if !ok {
		v = 1
	}
	w.sparse[k] = min(v*f, maxWeight)
}

func (w *weights) scaleBlock(i int32, k int, f float32) {
	at := int(i)*w.nb + k
	w.blocks[at] = min(w.blocks[at]*f, maxWeight)
}

// decay pulls all weights towards 1.
func (w *weights) decay(f float32) {
	kept := w.raised[:0]
	for _, k := range w.raised {
		v := w.dense[int(k>>32)*w.n+int(uint32(k))] * f
		if v <= 1 {
			w.set(k, 1)
			continue
		}
		w.set(k, v)
		kept = append(kept, k)
	}
	w.raised = kept
	for k, v := range w.sparse {
		if v *= f; v <= 1 {
			delete(w.sparse, k)
		} else {
			w.sparse[k] = v
		}
	}
	for i, v := range w.blocks {
		if v > 1 {
			w.blocks[i] = max(1, v*f)
		}
	}
}
