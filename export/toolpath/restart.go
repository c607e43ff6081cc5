package toolpath

import "fmt"

// FromPly is the rest of the path from the first cut of ply number n on, as
// after an interruption. Labels of windows already begun are not drawn again.
func (p *Path) FromPly(n int) (*Path, error) {
	for i, c := range p.Cuts {
		if c.Ply == n {
			return p.rest(i), nil
		}
	}
	most := 0
	for _, c := range p.Cuts {
		most = max(most, c.Ply)
	}
	return nil, fmt.Errorf("layout %s has no ply %d; its plies are 1 to %d in cutting order", p.Head.Layout, n, most)
}

// FromCut is the rest of the path from cut number n on.
func (p *Path) FromCut(n int) (*Path, error) {
	for i, c := range p.Cuts {
		if c.Number == n {
			return p.rest(i), nil
		}
	}
	return nil, fmt.Errorf("layout %s has no cut %d; its cuts are 1 to %d", p.Head.Layout, n, len(p.Cuts))
}

func (p *Path) rest(i int) *Path {
	q := *p
	q.Cuts = p.Cuts[i:]
	begun := q.Cuts[0].Window
	fresh := i == 0 || p.Cuts[i-1].Window < begun
	q.makeMoves(func(w int) bool { return w > begun || fresh })
	return &q
}

// OnlyWindow is the part of the path that is cut in one window, from 0, for
// machines that take a file per window.
func (p *Path) OnlyWindow(window int) *Path {
	q := *p
	q.Cuts, q.Labels = nil, nil
	for _, c := range p.Cuts {
		if c.Window == window {
			q.Cuts = append(q.Cuts, c)
		}
	}
	for _, l := range p.Labels {
		if l.Window == window {
			q.Labels = append(q.Labels, l)
		}
	}
	q.makeMoves(func(int) bool { return true })
	return &q
}
