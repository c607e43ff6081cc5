package lattice

// charge counts the making of a frame as work: some look-ups for each corner of
// its regions.
func (s *search) charge(f *frame) {
	for i := range f.n {
		for j := range f.n {
			for k := range f.face[i][j].region.pieces {
				s.cell.calls += 8 * len(f.face[i][j].region.pieces[k].pts)
			}
		}
	}
}
