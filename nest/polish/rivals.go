package polish

import "context"

// maxRivals limits the relations that are switched one by one.
const maxRivals = 32

// switchRivals looks for a gain that choosing the edge of greatest separation
// misses. Where two pieces touch corner to corner, two edges keep them apart
// equally well, but only one of them may leave the way free along which the
// layout becomes shorter. All relations the length depends on that have such a
// rival are switched to it, first all at once, then pair by pair; the first
// gain is kept. It reports whether there was one.
func (p *polisher) switchRivals(ctx context.Context) (better bool, status Status) {
	var switches []binding
	for _, b := range p.step.binding {
		if b.other >= 0 {
			switches = append(switches, b)
		}
	}
	if len(switches) == 0 {
		return false, Converged
	}
	start := append(p.l.at[:0:0], p.l.at...)
	try := func(some []binding) bool {
		p.step.choose.instead = make(map[partPair]int32, len(some))
		for _, b := range some {
			p.step.choose.instead[b.parts] = b.edge
		}
		better, status = p.once(ctx)
		p.step.choose.instead = nil
		if !better {
			copy(p.l.at, start)
		}
		return better || status != Converged
	}
	if try(switches) {
		return better, status
	}
	for k := range min(len(switches), maxRivals) {
		if try(switches[k : k+1]) {
			return better, status
		}
	}
	return false, Converged
}
