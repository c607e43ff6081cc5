package lattice

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
	"plyroom/shapes/steady"
)

// A Pattern repeats its members by all sums of multiples of two translations.
type Pattern struct {
	// Bodies are the plies as they lie, Members which of them are repeated
	// and where their centres are.
	Bodies  []*collide.Body
	Members []Member
	// U and V are the translations.
	U, V orb.Point
	// Phase is the member's y by which a strip's lower edge cuts the pattern,
	// where Phased is set; otherwise several are tried.
	Phase  float64
	Phased bool
}

// A Member is one ply of a Pattern: the index of its body and its centre.
type Member struct {
	Body int
	At   orb.Point
}

// Cell is the area of fabric that one repeat takes.
func (p *Pattern) Cell() float64 { return math.Abs(float64(p.U[0]*p.V[1]) - float64(p.U[1]*p.V[0])) }

// Density is the share of the endless plane that plies cover, 0 to 1, gaps
// counted as uncovered.
func (p *Pattern) Density() float64 {
	sum := 0.0
	for _, m := range p.Members {
		sum += p.Bodies[m.Body].Shape.Area
	}
	return sum / p.Cell()
}

// A Spot is where one ply of a laid pattern has its centre.
type Spot struct {
	Body int
	At   orb.Point
	// End is the greatest x the ply reaches.
	End float64
}

// Lay cuts the pattern down to a strip that begins at x = 0 and is so wide, and
// returns the first n plies along it by the x they reach, for the cut that
// needs the least length. It is nil where n plies find no room.
func (p *Pattern) Lay(width float64, n int) []Spot {
	var best []Spot
	ys := []float64{p.Phase}
	if !p.Phased {
		ys = p.phases(width)
	}
	for _, y := range ys {
		if s := p.cut(width, y, n); s != nil && (best == nil || s[n-1].End < best[n-1].End) {
			best = s
		}
	}
	return best
}

// phases are cuts to try: each member lying on the lower edge or under the
// upper one, and a few between.
func (p *Pattern) phases(width float64) []float64 {
	const between = 12
	var out []float64
	for _, m := range p.Members {
		b := &p.Bodies[m.Body].Box
		out = append(out, -b.MinY-m.At[1], width-b.MaxY-m.At[1])
	}
	for i := range between {
		out = append(out, float64(i)/between*(math.Abs(p.U[1])+math.Abs(p.V[1])))
	}
	return out
}

// cut lays the pattern moved up by y: the first n plies within the strip.
func (p *Pattern) cut(width, y float64, n int) []Spot {
	det := float64(p.U[0]*p.V[1]) - float64(p.U[1]*p.V[0])
	if math.Abs(det) < 1e-12*width*width || width/math.Abs(det)*width > 1e9 {
		return nil
	}
	area := math.Abs(det) * float64(n) / float64(len(p.Members))
	length := float64(area/width*1.2) + 2*(p.reach()+steady.Hypot(p.U[0], p.U[1])+steady.Hypot(p.V[0], p.V[1]))
	for range 4 {
		if all := p.within(width, y, length); len(all) >= n {
			return p.choose(all, n)
		}
		length *= 1.6
	}
	return nil
}

func (p *Pattern) reach() float64 {
	r := 0.0
	for _, m := range p.Members {
		r = max(r, p.Bodies[m.Body].Shape.Diameter+steady.Hypot(m.At[0], m.At[1]))
	}
	return r
}

// within lists the plies of the pattern, moved up by y, that lie on the strip.
func (p *Pattern) within(width, y, length float64) []Spot {
	u, v := p.U, p.V
	det := float64(u[0]*v[1]) - float64(u[1]*v[0])
	var out []Spot
	eps := float64(1e-11 * width)
	for _, m := range p.Members {
		b := &p.Bodies[m.Body].Box
		// The member's centre lies in a rectangle; its corners bound the
		// multiples of u and v.
		x0, x1 := -b.MinX-m.At[0], length-b.MaxX-m.At[0]
		y0, y1 := -b.MinY-m.At[1]-y, width-b.MaxY-m.At[1]-y
		iLo, iHi := math.Inf(1), math.Inf(-1)
		for _, c := range [4]orb.Point{{x0, y0}, {x1, y0}, {x0, y1}, {x1, y1}} {
			i := (float64(c[0]*v[1]) - float64(c[1]*v[0])) / det
			iLo, iHi = min(iLo, i), max(iHi, i)
		}
		for i := math.Floor(iLo); i <= math.Ceil(iHi); i++ {
			// Multiples of v with this one of u that keep within the width
			// and the length.
			jLo, jHi := math.Inf(-1), math.Inf(1)
			clip := func(at, step, lo, hi float64) {
				if math.Abs(step) < eps {
					if at < lo-eps || at > hi+eps {
						jHi = math.Inf(-1)
					}
					return
				}
				a, b := (lo-eps-at)/step, (hi+eps-at)/step
				jLo, jHi = max(jLo, min(a, b)), min(jHi, max(a, b))
			}
			clip(float64(i*u[0]), v[0], x0, x1)
			clip(float64(i*u[1]), v[1], y0, y1)
			for j := math.Ceil(jLo); j <= jHi; j++ {
				at := orb.Point{m.At[0] + float64(i*u[0]) + float64(j*v[0]), m.At[1] + y + float64(i*u[1]) + float64(j*v[1])}
				out = append(out, Spot{Body: m.Body, At: at, End: at[0] + b.MaxX})
			}
		}
	}
	return out
}

// choose keeps n plies in a row such that they take the least length, and moves
// them to the start of the strip. Plies are in order of where they end; which
// come first depends on where along the pattern the strip begins, so several
// beginnings within a repeat are tried.
func (p *Pattern) choose(all []Spot, n int) []Spot {
	begin := func(s *Spot) float64 { return s.At[0] + p.Bodies[s.Body].Box.MinX }
	slices.SortFunc(all, func(a, b Spot) int {
		if c := cmp.Compare(begin(&a), begin(&b)); c != 0 {
			return c
		}
		return cmp.Compare(a.At[1], b.At[1])
	})
	beginnings := min(64, 1+20000/n)
	var best []Spot
	bestLength := math.Inf(1)
	for k := 0; k < beginnings && k+n <= len(all); k++ {
		if k > 0 && begin(&all[k]) == begin(&all[k-1]) {
			continue
		}
		part := slices.Clone(all[k:])
		slices.SortFunc(part, func(a, b Spot) int {
			if c := cmp.Compare(a.End, b.End); c != 0 {
				return c
			}
			return cmp.Compare(a.At[1], b.At[1])
		})
		part = part[:n]
		if length := part[n-1].End - begin(&all[k]); length < bestLength-float64(1e-9*bestLength) || best == nil {
			best, bestLength = part, length
			by := begin(&all[k])
			for i := range best {
				best[i].At[0] -= by
				best[i].End -= by
			}
		}
	}
	return best
}

// PerRepeat is how many plies find room on a strip per repeat along it: 1 where
// the pattern does not repeat along the strip.
func (l *Laid) PerRepeat() int {
	p := l.Pattern
	period := 0.0
	switch {
	case p.U[1] == 0:
		period = math.Abs(p.U[0])
	case p.V[1] == 0:
		period = math.Abs(p.V[0])
	default:
		return 1
	}
	// Count in the middle, where no end is near.
	n, from := 0, float64((l.Length-period)/2)
	for i := range l.Spots {
		if d := l.Spots[i].At[0] - from; d >= 0 && d < period {
			n++
		}
	}
	return max(1, n)
}
