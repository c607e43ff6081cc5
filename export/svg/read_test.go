package svg_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export/internal/cutcase"
)

// A picture is what an XML reader finds in a file.
type picture struct {
	width, height string
	viewBox       [4]float64
	title, desc   string
	// paths and texts are in document order.
	paths []path
	texts []writing
	names map[string]int
}

type path struct {
	group, class, id string
	line             orb.LineString // closed: first vertex repeated
	closed           bool
	arcs             int
}

type writing struct {
	group, text string
	size        float64
}

// read reads a file with an XML decoder that knows nothing of the writer.
func read(src string) (*picture, error) {
	p := &picture{names: map[string]int{}}
	dec := xml.NewDecoder(strings.NewReader(src))
	var stack []string
	group := ""
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return p, nil
		}
		if err != nil {
			return nil, err
		}
		switch e := tok.(type) {
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range e.Attr {
				if _, twice := attr[a.Name.Local]; twice {
					return nil, fmt.Errorf("attribute %s twice", a.Name.Local)
				}
				attr[a.Name.Local] = a.Value
			}
			stack = append(stack, e.Name.Local)
			p.names[e.Name.Local]++
			switch e.Name.Local {
			case "svg":
				p.width, p.height = attr["width"], attr["height"]
				if _, err := fmt.Sscan(attr["viewBox"], &p.viewBox[0], &p.viewBox[1], &p.viewBox[2], &p.viewBox[3]); err != nil {
					return nil, err
				}
			case "g":
				group = attr["id"]
			case "path":
				q := path{group: group, class: attr["class"], id: attr["id"]}
				if q.line, q.closed, q.arcs, err = pathData(attr["d"]); err != nil {
					return nil, err
				}
				p.paths = append(p.paths, q)
			case "text":
				size, err := strconv.ParseFloat(attr["font-size"], 64)
				if err != nil {
					return nil, err
				}
				p.texts = append(p.texts, writing{group: group, size: size})
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			if e.Name.Local == "g" {
				group = ""
			}
		case xml.CharData:
			switch {
			case len(stack) == 2 && stack[1] == "title":
				p.title += string(e)
			case len(stack) == 2 && stack[1] == "desc":
				p.desc += string(e)
			case len(stack) > 0 && stack[len(stack)-1] == "text":
				p.texts[len(p.texts)-1].text += string(e)
			}
		}
	}
}

// pathData reads absolute M, L, A of circles, and Z.
func pathData(d string) (line orb.LineString, closed bool, arcs int, err error) {
	closed = strings.HasSuffix(d, "Z")
	d = strings.TrimSuffix(d, "Z")
	for len(d) > 0 {
		end := 1
		for end < len(d) && (d[end] < 'A' || d[end] > 'Z') {
			end++
		}
		command, body := d[0], d[1:end]
		d = d[end:]
		var f []float64
		for _, w := range strings.Fields(body) {
			v, err := strconv.ParseFloat(w, 64)
			if err != nil {
				return nil, false, 0, fmt.Errorf("path data %q: %w", body, err)
			}
			f = append(f, v)
		}
		switch {
		case (command == 'M' || command == 'L') && len(f) == 2:
			line = append(line, orb.Point{f[0], f[1]})
		case command == 'A' && len(f) == 7 && f[0] == f[1] && f[3] == 0:
			arcs++
			line = append(line, small(line[len(line)-1], orb.Point{f[5], f[6]}, f[0], f[4] == 1)...)
		default:
			return nil, false, 0, fmt.Errorf("path data %c%s", command, body)
		}
	}
	if closed {
		line = append(line, line[0])
	}
	return line, closed, arcs, nil
}

// small is the smaller of the two arcs of radius r from p to q that turn the
// given way: with y down, positive is clockwise to the eye.
func small(p, q orb.Point, r float64, positive bool) orb.LineString {
	l := math.Hypot(q[0]-p[0], q[1]-p[1])
	h := math.Sqrt(math.Max(0, r*r-l*l/4)) / l
	if !positive {
		h = -h
	}
	c := orb.Point{(p[0]+q[0])/2 - h*(q[1]-p[1]), (p[1]+q[1])/2 + h*(q[0]-p[0])}
	sweep := 2 * math.Asin(math.Min(1, l/2/r))
	if !positive {
		sweep = -sweep
	}
	return cutcase.Arc(p, c, sweep)
}
