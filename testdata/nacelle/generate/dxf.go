package main

import (
	"bytes"
	"fmt"
	"math"
)

// A dxf writes a drawing of the ASCII kind that every program reads (R12).
type dxf struct {
	b      bytes.Buffer
	handle int
}

func (d *dxf) pair(code int, value string) { fmt.Fprintf(&d.b, "%3d\n%s\n", code, value) }
func (d *dxf) at(code int, p pt) {
	d.pair(code, num(p.x))
	d.pair(code+10, num(p.y))
}

func (d *dxf) entity(name, layer string) {
	d.handle++
	d.pair(0, name)
	d.pair(5, fmt.Sprintf("%X", d.handle))
	d.pair(8, layer)
}

var dxfLayers = []struct {
	name   string
	colour int
}{{"CUT", 7}, {datumLine, 1}, {notchLine, 3}, {slitLine, 5}, {"TEXT", 8}}

func dxfBytes(shapes []shape) []byte {
	d := &dxf{handle: 0x1F}
	d.pair(999, "Invented demo outlines, nacelle of a 6 kW turbine")
	d.pair(0, "SECTION")
	d.pair(2, "HEADER")
	d.pair(9, "$ACADVER")
	d.pair(1, "AC1009")
	d.pair(9, "$INSUNITS")
	d.pair(70, "4")
	d.pair(0, "ENDSEC")

	d.pair(0, "SECTION")
	d.pair(2, "TABLES")
	d.pair(0, "TABLE")
	d.pair(2, "LAYER")
	d.pair(70, fmt.Sprint(len(dxfLayers)))
	for _, l := range dxfLayers {
		d.pair(0, "LAYER")
		d.pair(2, l.name)
		d.pair(70, "0")
		d.pair(62, fmt.Sprint(l.colour))
		d.pair(6, "CONTINUOUS")
	}
	d.pair(0, "ENDTAB")
	d.pair(0, "ENDSEC")

	d.pair(0, "SECTION")
	d.pair(2, "BLOCKS")
	for _, s := range shapes {
		if s.as != asBlock {
			continue
		}
		d.pair(0, "BLOCK")
		d.pair(8, "0")
		d.pair(2, s.name)
		d.pair(70, "0")
		d.at(10, s.origin())
		d.pair(3, s.name)
		d.shape(s)
		d.pair(0, "ENDBLK")
		d.pair(8, "0")
	}
	d.pair(0, "ENDSEC")

	d.pair(0, "SECTION")
	d.pair(2, "ENTITIES")
	for _, s := range shapes {
		if s.as == asBlock {
			d.entity("INSERT", "CUT")
			d.pair(2, s.name)
			d.at(10, s.origin())
			continue
		}
		d.shape(s)
		d.text(s)
	}
	d.pair(0, "ENDSEC")
	d.pair(0, "EOF")
	return d.b.Bytes()
}

// origin is the base point of a shape drawn as a block.
func (s shape) origin() pt {
	lo, _ := s.bounds()
	return pt{math.Floor(lo.x), math.Floor(lo.y)}
}

func (d *dxf) shape(s shape) {
	loops := append([]loop{s.outer}, s.holes...)
	for _, l := range loops {
		if s.as == asLoose {
			d.loose(l)
		} else {
			d.polyline(l)
		}
	}
	for _, l := range s.lines {
		for i := 0; i+1 < len(l.pts); i++ {
			d.entity("LINE", l.kind)
			d.at(10, l.pts[i])
			d.at(11, l.pts[i+1])
		}
	}
}

func (d *dxf) polyline(l loop) {
	d.entity("POLYLINE", "CUT")
	d.pair(66, "1")
	d.at(10, pt{})
	d.pair(70, "1")
	for _, c := range l {
		d.entity("VERTEX", "CUT")
		d.at(10, c.pt)
		if c.bulge != 0 {
			d.pair(42, fmt.Sprintf("%.10f", c.bulge))
		}
	}
	d.entity("SEQEND", "CUT")
}

// loose writes a loop as single lines and arcs: every second one first, and
// every third line the other way round, as they come out of old drawings.
func (d *dxf) loose(l loop) {
	if len(l) == 2 && l[0].bulge == 1 && l[1].bulge == 1 {
		d.entity("CIRCLE", "CUT")
		d.at(10, pt{(l[0].x + l[1].x) / 2, (l[0].y + l[1].y) / 2})
		d.pair(40, num(math.Hypot(l[0].x-l[1].x, l[0].y-l[1].y)/2))
		return
	}
	for _, odd := range []int{0, 1} {
		for i := odd; i < len(l); i += 2 {
			c, e := l[i], l[(i+1)%len(l)]
			if c.bulge == 0 {
				a, b := c.pt, e.pt
				if i%3 == 0 {
					a, b = b, a
				}
				d.entity("LINE", "CUT")
				d.at(10, a)
				d.at(11, b)
				continue
			}
			a := arcOf(c, e)
			from, to := a.from, a.from+a.sweep
			if a.sweep < 0 {
				from, to = to, from
			}
			d.entity("ARC", "CUT")
			d.at(10, a.c)
			d.pair(40, fmt.Sprintf("%.6f", a.r))
			d.pair(50, fmt.Sprintf("%.8f", math.Mod(from+360, 360)))
			d.pair(51, fmt.Sprintf("%.8f", math.Mod(to+360, 360)))
		}
	}
}

// text writes the shape's name at its widest place, small enough to lie
// inside.
func (d *dxf) text(s shape) {
	const advance = 0.9 // of a letter, as a share of its height
	p, room := s.wide()
	letters := float64(len(s.name)) * advance
	height := math.Round(math.Max(2, math.Min(24, 1.8*room/math.Hypot(letters, 1)))*10) / 10
	d.entity("TEXT", "TEXT")
	d.at(10, pt{p.x - letters*height/2, p.y - height/2})
	d.pair(40, num(height))
	d.pair(1, s.name)
}
