package jobfile

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"

	"plyroom/shapes"
)

const (
	// maxJobBytes bounds a job file: about 20,000 plies on one line each.
	maxJobBytes = 4 << 20
	// maxNodes bounds the values of a job with every alias followed.
	maxNodes = 2_000_000
	// maxNesting bounds how deep values may stand in one another. A job needs
	// six levels.
	maxNesting = 64
)

// parseYAML turns a job file into nodes. The problems are faults that make the
// file unreadable as YAML; with any of them the node is nil.
func parseYAML(file string, data []byte) (root *node, problems shapes.Problems) {
	fault := func(line, column int, message, hint string) shapes.Problems {
		return shapes.Problems{{Severity: shapes.Fault, File: file, Line: line, Column: column, Message: message, Hint: hint}}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if line, ok := invalidUTF8(data); ok {
		return nil, fault(line, 0, "the file is not UTF-8 text", "save it as UTF-8")
	}
	if line, ok := nestedTooDeep(data); ok {
		return nil, fault(line, 0, fmt.Sprintf("values are nested more than %d deep", maxNesting), "")
	}
	// The parser is somebody else's; whatever it stumbles over is still only
	// an unreadable file.
	defer func() {
		if recover() != nil {
			root, problems = nil, fault(1, 0, "the file cannot be read as YAML", "")
		}
	}()
	tokens := lexer.Tokenize(string(data))
	if line, message, ok := tooCrowded(tokens); ok {
		return nil, fault(line, 0, message, "put long lay-ups into a ply table")
	}
	f, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		var syntax *yaml.SyntaxError
		if errors.As(err, &syntax) && syntax.Token != nil && syntax.Token.Position != nil {
			at := syntax.Token.Position
			hint := ""
			if strings.Contains(syntax.Message, "'\t'") || strings.Contains(syntax.Message, "tab character") {
				hint = "indent with spaces"
			}
			return nil, fault(at.Line, at.Column, "not YAML: "+oneLine(syntax.Message), hint)
		}
		return nil, fault(1, 0, "the file cannot be read as YAML", "")
	}
	var body ast.Node
	for _, doc := range f.Docs {
		if doc == nil || doc.Body == nil {
			continue
		}
		if body != nil {
			second := builder{file: file, anchors: map[string]*node{}}
			at := second.build(doc.Body, 0)
			return nil, fault(at.line, at.column, "a second YAML document begins here", "a file holds one job")
		}
		body = doc.Body
	}
	if body == nil {
		return nil, fault(1, 0, "the job is empty", `start one from drawings with "plyroom new FILE… -o JOB.yaml", or look at testdata/nacelle/job.yaml, which shows all a job can hold`)
	}
	b := builder{file: file, anchors: map[string]*node{}, changes: changeMarks(tokens)}
	root = b.build(body, 0)
	if len(b.problems) > 0 {
		return nil, b.problems
	}
	return root, nil
}

// invalidUTF8 finds the first line that is not UTF-8.
func invalidUTF8(data []byte) (line int, found bool) {
	if utf8.Valid(data) {
		return 0, false
	}
	for i, l := range bytes.Split(data, []byte("\n")) {
		if !utf8.Valid(l) {
			return i + 1, true
		}
	}
	return 1, true
}

// nestedTooDeep finds the line where brackets or indicators stand deeper in
// one another than maxNesting. It looks at bytes only and so counts brackets
// within texts too; the parser takes time with the square of the depth.
func nestedTooDeep(data []byte) (line int, found bool) {
	line = 1
	brackets, indicators := 0, 0
	for i, c := range data {
		switch c {
		case '\n':
			line++
			indicators = 0
		case '[', '{':
			brackets++
		case ']', '}':
			brackets = max(0, brackets-1)
		case '-', '?', ':', '!', '&', '*':
			if next := i + 1; next == len(data) || data[next] == ' ' || data[next] == '\t' || data[next] == c {
				indicators++
			}
		}
		if brackets > maxNesting || indicators > 64*maxNesting {
			return line, true
		}
	}
	return 0, false
}

// A builder turns the parser's tree into nodes, following aliases.
type builder struct {
	file     string
	anchors  map[string]*node
	problems shapes.Problems
	// changes are the lines that bear the remark CHANGE.
	changes map[int]bool
	// blown says that the aliases are too many, which is said once.
	blown bool
}

func (b *builder) fault(n ast.Node, message, hint string) *node {
	out := b.place(n)
	out.kind = nullNode
	if len(b.problems) < maxProblems {
		b.problems = append(b.problems, shapes.Problem{
			Severity: shapes.Fault, File: b.file, Line: out.line, Column: out.column, Message: message, Hint: hint,
		})
	}
	return out
}

// place is an empty node where n stands.
func (b *builder) place(n ast.Node) *node {
	out := &node{file: b.file, size: 1}
	if t := n.GetToken(); t != nil && t.Position != nil {
		out.line, out.column = t.Position.Line, max(1, t.Position.Column)
	}
	return out
}

func (b *builder) build(n ast.Node, depth int) *node {
	if depth > maxNesting {
		return b.fault(n, fmt.Sprintf("values are nested more than %d deep", maxNesting), "")
	}
	switch n := n.(type) {
	case *ast.MappingNode:
		out := b.place(n)
		out.kind = mapNode
		for i, v := range n.Values {
			if i == 0 && !n.IsFlowStyle {
				// A block mapping begins at its first key, not at the colon.
				if key := b.place(v.Key); key.line > 0 {
					out.line, out.column = key.line, key.column
				}
			}
			b.addPair(out, v, depth)
		}
		return out
	case *ast.MappingValueNode:
		out := b.place(n.Key)
		out.kind = mapNode
		b.addPair(out, n, depth)
		return out
	case *ast.SequenceNode:
		out := b.place(n)
		out.kind = listNode
		for _, v := range n.Values {
			item := b.build(v, depth+1)
			out.items = append(out.items, item)
			b.grow(out, item, n)
		}
		return out
	case *ast.AnchorNode:
		out := b.build(n.Value, depth+1)
		if n.Name != nil {
			b.anchors[n.Name.String()] = out
		}
		return out
	case *ast.AliasNode:
		if n.Value != nil {
			if target := b.anchors[n.Value.String()]; target != nil {
				return target
			}
			return b.fault(n, fmt.Sprintf("no anchor %s stands before this alias", quote(n.Value.String())), "")
		}
		return b.fault(n, "an alias names no anchor", "")
	case *ast.TagNode:
		if n.Value == nil {
			return b.fault(n, "a tag has no value", "")
		}
		return b.build(n.Value, depth+1)
	case *ast.NullNode:
		out := b.place(n)
		out.kind = nullNode
		return out
	case *ast.StringNode:
		out := b.place(n)
		out.text = n.Value
		return out
	case *ast.LiteralNode:
		out := b.place(n)
		if n.Value != nil {
			out.text = n.Value.Value
		}
		return out
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.NanNode, *ast.InfinityNode:
		out := b.place(n)
		out.text = n.GetToken().Value
		return out
	case nil:
		return &node{kind: nullNode, file: b.file, size: 1}
	default:
		return b.fault(n, "this kind of YAML value has no meaning in a job", "")
	}
}

// addPair adds a key and its value to a mapping. The merge key << adds the
// keys of another mapping that the mapping does not state itself.
func (b *builder) addPair(out *node, v *ast.MappingValueNode, depth int) {
	if v.Key != nil && v.Key.IsMergeKey() {
		b.merge(out, v, depth)
		return
	}
	var keyNode ast.Node = v.Key
	if explicit, ok := keyNode.(*ast.MappingKeyNode); ok {
		keyNode = explicit.Value
	}
	key := b.build(keyNode, depth+1)
	if key.kind != scalarNode {
		b.fault(v, "a key is a single word", "")
		return
	}
	value := b.build(v.Value, depth+1)
	if value.line == 0 {
		value.line, value.column = key.line, key.column
	}
	value.change = value.change || b.changes[key.line]
	out.pairs = append(out.pairs, pair{key: key, value: value})
	b.grow(out, value, v)
}

func (b *builder) merge(out *node, v *ast.MappingValueNode, depth int) {
	from := b.build(v.Value, depth+1)
	sources := []*node{from}
	if from.kind == listNode {
		sources = from.items
	}
	for _, s := range sources {
		if s.kind != mapNode {
			b.fault(v, "<< takes a mapping or a list of mappings", "")
			return
		}
		for _, p := range s.pairs {
			out.pairs = append(out.pairs, pair{p.key, p.value, true})
		}
		b.grow(out, s, v)
	}
}

// grow counts a child in, and complains once where aliases blow the job up.
func (b *builder) grow(out, child *node, at ast.Node) {
	out.size = min(out.size+child.size, 2*maxNodes)
	if out.size > maxNodes && !b.blown {
		b.blown = true
		b.fault(at, fmt.Sprintf("aliases make more than %d values of this job", maxNodes), "")
	}
}

// oneLine strips a message of line breaks and control characters.
func oneLine(message string) string {
	q := quote(message)
	return q[1 : len(q)-1]
}
