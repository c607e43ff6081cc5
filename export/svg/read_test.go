package svg_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
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
				if q.line, q.closed, err = pathData(attr["d"]); err != nil {
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

// pathData reads absolute M, L and Z.
func pathData(d string) (orb.LineString, bool, error) {
	closed := strings.HasSuffix(d, "Z")
	var line orb.LineString
	for _, part := range strings.FieldsFunc(strings.TrimSuffix(d, "Z"), func(r rune) bool { return r == 'M' || r == 'L' }) {
		var p orb.Point
		if _, err := fmt.Sscan(part, &p[0], &p[1]); err != nil {
			return nil, false, fmt.Errorf("path data %q: %w", part, err)
		}
		line = append(line, p)
	}
	if closed {
		line = append(line, line[0])
	}
	return line, closed, nil
}
