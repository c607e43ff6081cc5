package toolpath

// ink draws the labels of the window at work, where the job allows ink on the
// ply. All of a window's labels come before its first cut, while the fabric is
// whole.
func (k *knife) ink() {
	p := k.path
	if !p.Ink || k.window < p.inkFrom {
		return
	}
	heading := k.heading
	for i := range p.Labels {
		l := &p.Labels[i]
		if l.Window != k.window {
			continue
		}
		k.cut, k.label = -1, i
		k.begin(p.Machine.Tools.Mark)
		for _, line := range l.Lines {
			k.goTo(line[0], 0)
			k.lower()
			k.follow(line[1:])
			k.lift()
		}
		if l.Text != "" {
			k.goTo(l.At, 0)
			k.add(Move{Op: Write})
		}
	}
	k.heading = heading
}
