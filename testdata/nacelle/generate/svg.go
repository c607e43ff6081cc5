package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// svgBytes writes a sheet in millimetres, a group with an id for each shape.
// SVG's y points down, so every y changes its sign.
func svgBytes(file string, shapes []shape) []byte {
	lo, hi := pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	for _, s := range shapes {
		a, b := s.bounds()
		lo.x, lo.y = math.Min(lo.x, a.x), math.Min(lo.y, a.y)
		hi.x, hi.y = math.Max(hi.x, b.x), math.Max(hi.y, b.y)
	}
	const margin = 40
	x, y := math.Floor(lo.x-margin), math.Floor(-hi.y-margin)
	w, h := math.Ceil(hi.x+margin)-x, math.Ceil(-lo.y+margin)-y

	var b bytes.Buffer
	fmt.Fprintf(&b, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"%s %s %s %s\">\n",
		num(w), num(h), num(x), num(y), num(w), num(h))
	fmt.Fprintf(&b, "<title>Invented demo outlines: %s</title>\n", strings.TrimSuffix(file, ".svg"))
	fmt.Fprintf(&b, "<style>path, circle, rect { fill: none; stroke: #222; stroke-width: 2 } .datum { stroke: #c22 } .notch { stroke: #2a2 } .slit { stroke: #22c }</style>\n")
	for i, s := range shapes {
		at := s.origin()
		local := s.moved(-at.x, -at.y)
		// Every second group carries its place as a transform.
		if i%2 == 0 {
			fmt.Fprintf(&b, "<g id=\"%s\">\n", s.name)
			local = s
		} else {
			fmt.Fprintf(&b, "<g id=\"%s\" transform=\"translate(%s %s)\">\n", s.name, num(at.x), num(-at.y))
		}
		writeSVGShape(&b, local)
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func writeSVGShape(b *bytes.Buffer, s shape) {
	var d []string
	d = append(d, pathData(s.outer))
	for _, h := range s.holes {
		// Round cut-outs are circles of their own, the others parts of the
		// path.
		if len(h) == 2 && h[0].bulge == 1 && h[1].bulge == 1 {
			fmt.Fprintf(b, "  <circle cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n",
				num((h[0].x+h[1].x)/2), num(-(h[0].y+h[1].y)/2), num(math.Hypot(h[0].x-h[1].x, h[0].y-h[1].y)/2))
			continue
		}
		d = append(d, pathData(h))
	}
	fmt.Fprintf(b, "  <path d=\"%s\"/>\n", strings.Join(d, " "))
	for _, l := range s.lines {
		var pts []string
		for _, p := range l.pts {
			pts = append(pts, num(p.x)+","+num(-p.y))
		}
		fmt.Fprintf(b, "  <path class=\"%s\" d=\"M%s\"/>\n", strings.ToLower(l.kind), strings.Join(pts, " L"))
	}
}

func pathData(l loop) string {
	var b strings.Builder
	fmt.Fprintf(&b, "M%s,%s", num(l[0].x), num(-l[0].y))
	for i, c := range l {
		e := l[(i+1)%len(l)]
		last := i == len(l)-1
		switch {
		case c.cubic:
			fmt.Fprintf(&b, " C%s,%s %s,%s %s,%s", num(c.c1.x), num(-c.c1.y), num(c.c2.x), num(-c.c2.y), num(e.x), num(-e.y))
		case c.bulge != 0:
			a := arcOf(c, e)
			large, sweep := 0, 0
			if math.Abs(a.sweep) > 180.0001 {
				large = 1
			}
			// Counter-clockwise with y up is sweep 0 with y down.
			if a.sweep < 0 {
				sweep = 1
			}
			fmt.Fprintf(&b, " A%s,%s 0 %d %d %s,%s", num(a.r), num(a.r), large, sweep, num(e.x), num(-e.y))
		case !last:
			fmt.Fprintf(&b, " L%s,%s", num(e.x), num(-e.y))
		}
	}
	b.WriteString(" Z")
	return b.String()
}
