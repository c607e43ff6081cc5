package drawing

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// groups reads the groups of one entity, up to the next 0.
func (f *dxfFile) groups() groups {
	var gs groups
	for {
		g, ok := f.r.next()
		if !ok {
			return gs
		}
		if g.code == 0 {
			f.r.back()
			return gs
		}
		if len(gs) >= MaxEntityGroups {
			f.s.halt(f.r.line, fmt.Sprintf("one entity has more than %d values", MaxEntityGroups), "split it")
			return gs
		}
		gs = append(gs, g)
	}
}

// groups are the values of one entity.
type groups []group

func (gs groups) text(code int) []byte {
	for _, g := range gs {
		if g.code == code {
			return g.text
		}
	}
	return nil
}

func (gs groups) has(code int) bool {
	for _, g := range gs {
		if g.code == code {
			return true
		}
	}
	return false
}

// float is the first value of a code, def where there is none, and not a
// number where it is no number.
func (gs groups) float(code int, def float64) float64 {
	for _, g := range gs {
		if g.code == code {
			if v, ok := g.float(); ok {
				return v
			}
			return math.NaN()
		}
	}
	return def
}

func (gs groups) int(code, def int) int {
	for _, g := range gs {
		if g.code == code {
			if v, ok := g.int(); ok {
				return v
			}
			return def
		}
	}
	return def
}

func (gs groups) point(code int) orb.Point {
	return orb.Point{gs.float(code, 0), gs.float(code+10, 0)}
}
