package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"plyroom/shapes/steady"
)

// transform is the element's own transform: by attribute or style, with the
// properties translate, rotate and scale, about its origin. v is what
// percentages of the origin refer to.
func (w *svgWalk) transform(n *node, v viewport) (affine, error) {
	m := identity
	for _, p := range [...]struct{ property, function string }{{"translate", "translate"}, {"rotate", "rotate"}, {"scale", "scale"}} {
		// As attributes these mean something else, or nothing.
		s, ok := w.css.styled(n, p.property)
		if !ok || s == "" || strings.EqualFold(s, "none") {
			continue
		}
		k, err := parseTransform(p.function + "(" + s + ")")
		if err != nil {
			return identity, err
		}
		m = m.mul(k)
	}
	if t := w.css.value(n, "transform"); t != "" && !strings.EqualFold(t, "none") {
		k, err := parseTransform(t)
		if err != nil {
			return identity, err
		}
		m = m.mul(k)
	}
	if m == identity {
		return m, nil
	}
	o := w.css.value(n, "transform-origin")
	if o == "" {
		return m, nil
	}
	x, y, ok := transformOrigin(o, v)
	if !ok {
		return identity, fmt.Errorf("transform-origin %q", clip(o))
	}
	if box := strings.ToLower(w.css.value(n, "transform-box")); box != "" && box != "view-box" {
		if m.a == 1 && m.b == 0 && m.c == 0 && m.d == 1 {
			return m, nil // no origin matters
		}
		return identity, fmt.Errorf("a transform-origin in its %q", clip(box))
	}
	return translation(x, y).mul(m).mul(translation(-x, -y)), nil
}

// transformOrigin reads one or two lengths, percentages of the viewport or
// words, and a depth, which says nothing here.
func transformOrigin(s string, v viewport) (x, y float64, ok bool) {
	words := strings.Fields(strings.ToLower(s))
	if len(words) < 1 || len(words) > 3 {
		return 0, 0, false
	}
	if len(words) == 1 {
		words = append(words, "center")
	}
	if a, b := words[0], words[1]; a == "top" || a == "bottom" || b == "left" || b == "right" {
		words[0], words[1] = b, a
	}
	share := map[string]float64{"left": 0, "top": 0, "center": 0.5, "right": 1, "bottom": 1}
	read := func(w string, dir byte, whole float64, wrong, other string) float64 {
		if k, is := share[w]; is && w != wrong && w != other {
			return k * whole
		}
		return v.length(w, dir, math.NaN())
	}
	x = read(words[0], 'x', v.w, "top", "bottom")
	y = read(words[1], 'y', v.h, "left", "right")
	return x, y, !math.IsNaN(x) && !math.IsNaN(y)
}

// parseTransform reads a list of transforms, as an attribute or a style has
// them.
func parseTransform(s string) (affine, error) {
	m := identity
	c := &scanner{s: s}
	for n := 0; ; n++ {
		c.comma()
		if c.done() {
			break
		}
		if n > 1000 {
			return m, fmt.Errorf("more than 1000 parts")
		}
		open := strings.IndexByte(c.s[c.at:], '(')
		if open < 0 {
			return m, fmt.Errorf("%q", clip(c.s[c.at:]))
		}
		name := strings.TrimSpace(c.s[c.at : c.at+open])
		end := strings.IndexByte(c.s[c.at:], ')')
		if end < open {
			return m, fmt.Errorf("%q has no end", clip(c.s[c.at:]))
		}
		args, err := transformArgs(c.s[c.at+open+1 : c.at+end])
		if err != nil {
			return m, err
		}
		c.at += end + 1
		k, err := oneTransform(name, args)
		if err != nil {
			return m, err
		}
		m = m.mul(k)
	}
	if !m.finite() {
		return m, fmt.Errorf("its numbers are not finite")
	}
	return m, nil
}

// transformArgs reads numbers; angles come out in degrees, lengths in px.
func transformArgs(s string) ([]float64, error) {
	c := &scanner{s: s}
	var out []float64
	for {
		c.comma()
		if c.done() {
			return out, nil
		}
		v, ok := c.number()
		if !ok || len(out) >= 16 {
			return nil, fmt.Errorf("%q is no list of numbers", clip(s))
		}
		i := c.at
		for c.at < len(c.s) && (c.s[c.at] >= 'a' && c.s[c.at] <= 'z' || c.s[c.at] >= 'A' && c.s[c.at] <= 'Z') {
			c.at++
		}
		switch unit := strings.ToLower(c.s[i:c.at]); unit {
		case "", "px", "deg":
		case "rad":
			v *= 180 / math.Pi
		case "turn":
			v *= 360
		case "grad":
			v *= 0.9
		default:
			mm, ok := physical[unit]
			if !ok {
				return nil, fmt.Errorf("unit %s", strconv.Quote(clip(unit)))
			}
			v *= mm / 25.4 * 96
		}
		out = append(out, v)
	}
}

func oneTransform(name string, a []float64) (affine, error) {
	arg := func(i int, def float64) float64 {
		if i < len(a) {
			return a[i]
		}
		return def
	}
	tan := func(deg float64) float64 { return steady.Tan(deg * math.Pi / 180) }
	n := len(a)
	switch {
	case name == "matrix" && n == 6:
		return affine{a[0], a[1], a[2], a[3], a[4], a[5]}, nil
	case name == "translate" && (n == 1 || n == 2):
		return translation(a[0], arg(1, 0)), nil
	case name == "translateX" && n == 1:
		return translation(a[0], 0), nil
	case name == "translateY" && n == 1:
		return translation(0, a[0]), nil
	case name == "scale" && (n == 1 || n == 2):
		return scaling(a[0], arg(1, a[0])), nil
	case name == "scaleX" && n == 1:
		return scaling(a[0], 1), nil
	case name == "scaleY" && n == 1:
		return scaling(1, a[0]), nil
	case name == "rotate" && n == 1:
		return rotationDeg(a[0]), nil
	case name == "rotate" && n == 3:
		return translation(a[1], a[2]).mul(rotationDeg(a[0])).mul(translation(-a[1], -a[2])), nil
	case name == "skewX" && n == 1:
		return affine{1, 0, tan(a[0]), 1, 0, 0}, nil
	case name == "skewY" && n == 1:
		return affine{1, tan(a[0]), 0, 1, 0, 0}, nil
	case name == "skew" && (n == 1 || n == 2):
		return affine{1, tan(arg(1, 0)), tan(a[0]), 1, 0, 0}, nil
	}
	return identity, fmt.Errorf("%s with %d numbers", clip(name), n)
}

// unescapeID undoes the _xHHHH_ escapes with which exporters write characters
// that an id may not hold.
func unescapeID(id string) string {
	if !strings.Contains(id, "_x") {
		return id
	}
	var b strings.Builder
	for i := 0; i < len(id); {
		if strings.HasPrefix(id[i:], "_x") {
			if end := strings.IndexByte(id[i+2:], '_'); end >= 2 && end <= 4 {
				if v, err := strconv.ParseUint(id[i+2:i+2+end], 16, 32); err == nil && v >= ' ' {
					b.WriteRune(rune(v))
					i += end + 3
					continue
				}
			}
		}
		b.WriteByte(id[i])
		i++
	}
	return b.String()
}
