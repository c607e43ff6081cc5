package dxf_test

import (
	"bufio"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export/internal/cutcase"
)

// A file is what a group-code reader finds: it knows nothing of the writer.
type file struct {
	header   map[string]string
	layers   []string
	plotted  map[string]bool
	lines    []polyline
	texts    []writing
	comments []string
	handles  map[string]bool
}

type polyline struct {
	layer  string
	closed bool
	line   orb.LineString // closed: first vertex repeated
	bulges []float64      // of the vertices
	arcs   int
}

type writing struct {
	layer, text   string
	height, angle float64
	at            orb.Point
}

type group struct {
	code  int
	value string
}

func groups(src string) ([]group, []string, error) {
	var out []group
	var comments []string
	sc := bufio.NewScanner(strings.NewReader(src))
	for sc.Scan() {
		code, err := strconv.Atoi(strings.TrimSpace(sc.Text()))
		if err != nil {
			return nil, nil, fmt.Errorf("group %d: %w", len(out), err)
		}
		if !sc.Scan() {
			return nil, nil, fmt.Errorf("group code %d without a value", code)
		}
		if len(sc.Text()) > 255 {
			return nil, nil, fmt.Errorf("a line of %d characters", len(sc.Text()))
		}
		if code == 999 {
			comments = append(comments, sc.Text())
			continue
		}
		out = append(out, group{code, sc.Text()})
	}
	return out, comments, sc.Err()
}

// read reads a drawing.
func read(src string) (*file, error) {
	gs, comments, err := groups(src)
	if err != nil {
		return nil, err
	}
	f := &file{header: map[string]string{}, plotted: map[string]bool{}, handles: map[string]bool{}, comments: comments}
	if n := len(gs); n == 0 || gs[n-1] != (group{0, "EOF"}) {
		return nil, fmt.Errorf("no EOF")
	}
	section := ""
	for i := 0; i < len(gs); {
		j := i + 1
		for j < len(gs) && gs[j].code != 0 {
			j++
		}
		name, body := gs[i].value, gs[i+1:j]
		switch {
		case name == "SECTION":
			section = body[0].value
			if section == "HEADER" {
				for k := 1; k+1 < len(body); k++ {
					if body[k].code == 9 {
						f.header[body[k].value] = body[k+1].value
					}
				}
			}
		case name == "ENDSEC":
			section = ""
		case section == "TABLES" && name == "LAYER":
			l := get(body, 2)
			f.layers = append(f.layers, l)
			f.plotted[l] = get(body, 290) != "0"
		case section == "ENTITIES":
			if h := get(body, 5); h != "" {
				if f.handles[h] {
					return nil, fmt.Errorf("handle %s twice", h)
				}
				f.handles[h] = true
			}
			if err := f.entity(name, body); err != nil {
				return nil, err
			}
		}
		i = j
	}
	for i := range f.lines {
		l := &f.lines[i]
		if l.closed {
			l.line = append(l.line, l.line[0])
		}
		l.line, l.arcs = bulged(l.line, l.bulges)
	}
	return f, nil
}

func (f *file) entity(name string, body []group) error {
	switch name {
	case "POLYLINE":
		f.lines = append(f.lines, polyline{layer: get(body, 8), closed: get(body, 70) == "1"})
	case "VERTEX":
		p := &f.lines[len(f.lines)-1]
		if get(body, 8) != p.layer {
			return fmt.Errorf("vertex on layer %s of a line on %s", get(body, 8), p.layer)
		}
		p.line = append(p.line, orb.Point{number(body, 10), number(body, 20)})
		p.bulges = append(p.bulges, optional(body, 42))
	case "SEQEND":
	case "LWPOLYLINE":
		p := polyline{layer: get(body, 8), closed: get(body, 70) == "1"}
		for i, g := range body {
			if g.code == 10 {
				p.line = append(p.line, orb.Point{number(body[i:], 10), number(body[i:], 20)})
				p.bulges = append(p.bulges, 0)
			}
			if g.code == 42 {
				p.bulges[len(p.bulges)-1] = optional(body[i:], 42)
			}
		}
		if strconv.Itoa(len(p.line)) != get(body, 90) {
			return fmt.Errorf("%s vertices said, %d found", get(body, 90), len(p.line))
		}
		f.lines = append(f.lines, p)
	case "TEXT":
		f.texts = append(f.texts, writing{get(body, 8), get(body, 1), number(body, 40), number(body, 50), orb.Point{number(body, 11), number(body, 21)}})
	default:
		return fmt.Errorf("unknown entity %s", name)
	}
	return nil
}

func get(body []group, code int) string {
	for _, g := range body {
		if g.code == code {
			return g.value
		}
	}
	return ""
}

func number(body []group, code int) float64 {
	v, err := strconv.ParseFloat(get(body, code), 64)
	if err != nil {
		panic(fmt.Sprintf("group %d: %v", code, err))
	}
	return v
}

func optional(body []group, code int) float64 {
	if get(body, code) == "" {
		return 0
	}
	return number(body, code)
}

// bulged draws the arcs of a polyline: a bulge is the tangent of a quarter of
// the angle, counter-clockwise positive.
func bulged(line orb.LineString, bulges []float64) (out orb.LineString, arcs int) {
	for i, q := range line {
		if i == 0 || bulges[i-1] == 0 {
			out = append(out, q)
			continue
		}
		arcs++
		p, b := line[i-1], bulges[i-1]
		// The centre lies on the bisector, (1/b - b)/4 chords left of the chord.
		k := (1/b - b) / 4
		c := orb.Point{(p[0]+q[0])/2 - k*(q[1]-p[1]), (p[1]+q[1])/2 + k*(q[0]-p[0])}
		out = append(out, cutcase.Arc(p, c, 4*math.Atan(b))...)
	}
	return out, arcs
}
