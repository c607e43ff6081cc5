package toolpath

// DrawingFrame is the frame of a drawing of the whole path: that of its window
// where all cuts lie in one, and one without windows otherwise. Units, origin
// and axes are the machine's.
func (p *Path) DrawingFrame() Frame {
	if n := len(p.Cuts); n > 0 && p.Cuts[0].Window == p.Cuts[n-1].Window {
		return p.Frame(p.Cuts[0].Window)
	}
	return Frame{m: p.Machine, length: p.Head.Length, width: p.Head.Width}
}

// Scale is the factor from mm to the machine's units.
func (m Machine) Scale() float64 {
	if m.Units == Inches {
		return 1 / 25.4
	}
	return 1
}

// Advances reports whether the path draws the fabric on while it runs.
func (p *Path) Advances() bool {
	n := len(p.Cuts)
	return n > 0 && p.Cuts[0].Window != p.Cuts[n-1].Window
}
