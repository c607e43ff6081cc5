package picture

import (
	"math"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"

	"plyroom/nest"
)

// detail is how far a drawn edge may stand off the cut line, mm. Pictures are
// for eyes: cut files have the true line.
const detail = 0.25

// thin returns the ring with the vertices dropped that a picture does not
// need, as orb's geometry.
func thin(r nest.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r)+1)
	for _, p := range r {
		out = append(out, orb.Point(p))
	}
	if len(out) < 4 {
		return out
	}
	// A ring has no ends to keep; cutting it at its two extremes along x keeps
	// both of these, wherever the list begins.
	from, to := 0, 0
	for i, p := range out {
		if p[0] < out[from][0] {
			from = i
		}
		if p[0] > out[to][0] {
			to = i
		}
	}
	if from == to {
		return out
	}
	n := len(out)
	walk := func(a, b int) orb.LineString {
		var l orb.LineString
		for i := a; ; i = (i + 1) % n {
			l = append(l, out[i])
			if i == b {
				return simplify.DouglasPeucker(detail).LineString(l)
			}
		}
	}
	first, second := walk(from, to), walk(to, from)
	ring := make(orb.Ring, 0, len(first)+len(second))
	ring = append(ring, first[:len(first)-1]...)
	ring = append(ring, second[:len(second)-1]...)
	if len(ring) < 3 {
		return out
	}
	return ring
}

// pathData writes rings as SVG path data in tenths of a millimetre, y
// pointing down from height. Steps are relative, rounded so that errors do not
// add up.
func pathData(height float64, rings ...orb.Ring) string {
	var b []byte
	for _, r := range rings {
		var px, py int64
		for i, p := range r {
			x, y := tenths(p[0]), tenths(height-p[1])
			switch i {
			case 0:
				b = append(b, 'M')
				b = appendPair(b, x, y, true)
			case 1:
				b = append(b, 'l')
				b = appendPair(b, x-px, y-py, true)
			default:
				b = appendPair(b, x-px, y-py, false)
			}
			px, py = x, y
		}
		b = append(b, 'z')
	}
	return string(b)
}

func tenths(v float64) int64 { return int64(math.Round(v * 10)) }

func appendPair(b []byte, x, y int64, first bool) []byte {
	b = appendTenths(b, x, !first)
	return appendTenths(b, y, true)
}

// appendTenths writes v/10 as shortly as SVG allows, with a space before it
// where one is needed to tell it from the number before.
func appendTenths(b []byte, v int64, space bool) []byte {
	if space && v >= 0 {
		b = append(b, ' ')
	}
	if v < 0 {
		b = append(b, '-')
		v = -v
	}
	if v >= 10 || v == 0 {
		b = strconv.AppendInt(b, v/10, 10)
	}
	if v%10 != 0 {
		b = append(b, '.', byte('0'+v%10))
	}
	return b
}

// num writes a length for an attribute: one decimal of a millimetre.
func num(v float64) string {
	return string(appendTenths(nil, tenths(v), false))
}
