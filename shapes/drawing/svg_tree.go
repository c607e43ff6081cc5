package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"golang.org/x/text/encoding/htmlindex"
)

// node is an element of an SVG document. Names are without their prefix.
type node struct {
	name   string
	svg    bool // of the SVG namespace, or of none
	attrs  []xml.Attr
	kids   []*node
	text   string // character data of text, title, style
	line   int
	parent *node
	place  int // among the parent's kids
	// decls are what styles set, once resolved.
	decls    []cssDecl
	resolved bool
}

func (n *node) attr(name string) string {
	for _, a := range n.attrs {
		if a.Name.Local == name && (a.Name.Space == "" || name == "href") {
			return a.Value
		}
	}
	return ""
}

// foreign is an attribute of another namespace, such as a program's own label.
func (n *node) foreign(name string) string {
	for _, a := range n.attrs {
		if a.Name.Local == name && a.Name.Space != "" {
			return a.Value
		}
	}
	return ""
}

func (n *node) has(name string) bool {
	for _, a := range n.attrs {
		if a.Name.Local == name && a.Name.Space == "" {
			return true
		}
	}
	return false
}

// child is the first child of a name.
func (n *node) child(name string) *node {
	for _, k := range n.kids {
		if k.name == name {
			return k
		}
	}
	return nil
}

const svgSpace = "http://www.w3.org/2000/svg"

// errLimit says that a document is larger than what is read.
var errLimit = errors.New("limit")

// parseTree reads the document. line is where an error stands.
func parseTree(data []byte) (root *node, line int, err error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	d.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		if strings.HasPrefix(strings.ToLower(label), "utf-16") {
			return in, nil // turned into UTF-8 before
		}
		e, err := htmlindex.Get(label)
		if err != nil {
			return nil, fmt.Errorf("unknown encoding %q", clip(label))
		}
		return e.NewDecoder().Reader(in), nil
	}
	at := func() int { l, _ := d.InputPos(); return l }
	var open *node
	elements, depth := 0, 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, at(), err
		}
		switch t := tok.(type) {
		case xml.Directive:
			d.Entity = entities(t, len(data))
		case xml.StartElement:
			elements++
			depth++
			if elements > MaxElements {
				return nil, at(), fmt.Errorf("%w: more than %d elements", errLimit, MaxElements)
			}
			if depth > MaxDepth {
				return nil, at(), fmt.Errorf("%w: elements nest deeper than %d", errLimit, MaxDepth)
			}
			n := &node{name: t.Name.Local, svg: t.Name.Space == svgSpace || t.Name.Space == "", attrs: t.Copy().Attr, line: at(), parent: open}
			if open != nil {
				n.place = len(open.kids)
				open.kids = append(open.kids, n)
			} else if root == nil {
				root = n
			}
			open = n
		case xml.EndElement:
			depth--
			if open != nil {
				open = open.parent
			}
		case xml.CharData:
			if open == nil {
				continue
			}
			switch open.name {
			case "title", "style":
				open.text += string(t)
			case "text", "tspan", "textPath", "a":
				// In order with child elements.
				open.kids = append(open.kids, &node{name: "#text", text: string(t), line: at(), parent: open, place: len(open.kids)})
			}
		}
	}
	if root == nil {
		return nil, 0, errors.New("it holds no element")
	}
	return root, 0, nil
}

var entityDecl = regexp.MustCompile(`<!ENTITY\s+([A-Za-z_][\w.-]*)\s+(?:"([^"<&%]{0,200})"|'([^'<&%]{0,200})')\s*>`)

// entities are the plain entities a document type declares. None may refer to
// another, none is long, and large files get none, so that what they expand to
// is bounded.
func entities(directive []byte, size int) map[string]string {
	if size > 4<<20 || !bytes.HasPrefix(directive, []byte("DOCTYPE")) {
		return nil
	}
	out := map[string]string{}
	for _, m := range entityDecl.FindAllSubmatch(directive, 100) {
		out[string(m[1])] = string(m[2]) + string(m[3])
	}
	return out
}
