package jobfile

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"plyroom/shapes"
)

// Longest texts taken, in bytes: names go on tags, notes on kit lists.
const (
	maxName = 200
	maxNote = 4000
)

// A fields is a mapping of the file read against its form: unknown, repeated
// and missing keys are reported, and the rest can be asked for by name.
type fields struct {
	r    *reader
	form *form
	node *node
	// ply is the part and ply concerned, for messages.
	ply    string
	values map[string]*node
}

// fields reads a mapping. It returns nil, having said so, where the node is no
// mapping.
func (r *reader) fields(n *node, f *form, ply string) *fields {
	if n.kind != mapNode {
		r.fault(n, ply, fmt.Sprintf("a %s is a mapping, found %s", f.name, n.describe()), "")
		return nil
	}
	m := &fields{r: r, form: f, node: n, ply: ply, values: map[string]*node{}}
	first := map[string]*node{}
	var merged []pair
	for _, p := range n.pairs {
		if p.merged {
			merged = append(merged, p)
			continue
		}
		name := p.key.text
		if before, twice := first[name]; twice {
			r.fault(p.key, ply, fmt.Sprintf("key %s stands twice, first on line %d", quote(name), before.line), "")
			continue
		}
		first[name] = p.key
		m.take(p)
	}
	for _, p := range merged {
		if first[p.key.text] == nil {
			first[p.key.text] = p.key
			m.take(p)
		}
	}
	for _, k := range f.keys {
		if k.required && m.values[k.name] == nil {
			r.fault(n, ply, fmt.Sprintf("the %s lacks %q", f.name, k.name), "")
		}
	}
	return m
}

// take keeps one key's value where the form knows the key.
func (m *fields) take(p pair) {
	name := p.key.text
	if m.form.find(name) == nil {
		m.r.fault(p.key, m.ply, "unknown key "+quote(name), suggest(name, m.form.names()))
		return
	}
	if p.value.kind == nullNode {
		m.r.fault(p.key, m.ply, name+" has no value", "")
	}
	m.values[name] = p.value
}

// has says whether a key is there, right or wrong.
func (m *fields) has(name string) bool { return m.values[name] != nil }

// at is where a key's value stands, or the mapping where it is missing.
func (m *fields) at(name string) *node {
	if n := m.values[name]; n != nil {
		return n
	}
	return m.node
}

// fault reports a mistake at a key's value.
func (m *fields) fault(name, message, hint string) {
	m.r.fault(m.at(name), m.ply, message, hint)
}

// key is the form's entry; asking for a key the form lacks is a slip in this
// package.
func (m *fields) key(name string) *key {
	k := m.form.find(name)
	if k == nil {
		panic("jobfile: form " + m.form.name + " has no key " + name)
	}
	return k
}

// text reads a text; ok is false where it is missing or wrong.
func (m *fields) text(name string) (s string, ok bool) {
	k, n := m.key(name), m.values[name]
	if n == nil {
		return k.fallback, k.fallback != ""
	}
	return m.r.text(n, &k.value, name, m.ply)
}

// word reads one of the key's words.
func (m *fields) word(name string) (s string, ok bool) {
	k, n := m.key(name), m.values[name]
	if n == nil {
		return k.fallback, k.fallback != ""
	}
	return m.r.word(n, &k.value, name, m.ply)
}

// flag reads true or false.
func (m *fields) flag(name string) bool {
	k, n := m.key(name), m.values[name]
	if n == nil {
		return k.fallback == "true"
	}
	if n.kind == nullNode {
		return false
	}
	if n.kind == scalarNode {
		switch strings.ToLower(n.text) {
		case "true", "yes":
			return true
		case "false", "no":
			return false
		}
	}
	m.fault(name, fmt.Sprintf("%s: want true or false, found %s", name, n.describe()), "")
	return false
}

// date reads a day; ok is false where it is missing or wrong.
func (m *fields) date(name string) (d shapes.Date, ok bool) {
	n := m.values[name]
	if n == nil {
		return "", false
	}
	s, ok := m.r.text(n, &value{}, name, m.ply)
	if !ok {
		return "", false
	}
	d, err := shapes.ParseDate(s)
	if err != nil {
		m.fault(name, fmt.Sprintf("%s: %s is not %s", name, quote(s), m.key(name).accepts()), "")
		return "", false
	}
	return d, true
}

// number reads a figure in its quantity's own unit; ok is false where it is
// missing without a default, or wrong.
func (m *fields) number(name string) (v float64, ok bool) {
	k, n := m.key(name), m.values[name]
	if n == nil {
		if k.fallback == "" {
			return 0, false
		}
		v, err := parseFigure(k.fallback, &k.value, "")
		if err != nil {
			panic("jobfile: default of " + name + ": " + err.Error())
		}
		return v, true
	}
	return m.r.number(n, &k.value, name, m.ply)
}

// figure is number where a missing or wrong one counts as 0.
func (m *fields) figure(name string) float64 {
	v, _ := m.number(name)
	return v
}

// whole is a whole number.
func (m *fields) whole(name string) (int, bool) {
	v, ok := m.number(name)
	return int(v), ok
}

// list reads the items of a list; nil where the key is missing or wrong.
func (m *fields) list(name string) []*node {
	k, n := m.key(name), m.values[name]
	if n == nil {
		return nil
	}
	return m.r.list(n, &k.value, name, m.ply)
}

// numbers reads a list of figures, leaving out wrong ones.
func (m *fields) numbers(name string) []float64 {
	var out []float64
	for _, n := range m.list(name) {
		if v, ok := m.r.number(n, m.key(name).of, name, m.ply); ok {
			out = append(out, v)
		}
	}
	return out
}

func (r *reader) list(n *node, v *value, name, ply string) []*node {
	switch {
	case n.kind == listNode:
	case n.kind == nullNode:
		return nil
	case v.single:
		return []*node{n}
	default:
		r.fault(n, ply, fmt.Sprintf("%s: want a list, found %s", name, n.describe()), "")
		return nil
	}
	if len(n.items) < v.least {
		switch {
		case len(n.items) == 0:
			r.fault(n, ply, name+" is empty", "")
		default:
			r.fault(n, ply, fmt.Sprintf("%s: want %d or more, found %d", name, v.least, len(n.items)), "")
		}
	}
	return n.items
}

func (r *reader) text(n *node, v *value, name, ply string) (string, bool) {
	if n.kind == nullNode {
		return "", false
	}
	if n.kind != scalarNode {
		r.fault(n, ply, fmt.Sprintf("%s: want a text, found %s", name, n.describe()), "")
		return "", false
	}
	s := strings.TrimSpace(n.text)
	limit := maxName
	if v.long {
		limit = maxNote
	}
	switch {
	case s == "":
		r.fault(n, ply, name+" is empty", "")
	case len(s) > limit:
		r.fault(n, ply, fmt.Sprintf("%s: %s is longer than %d bytes", name, quote(s), limit), "")
	case strings.ContainsFunc(s, func(c rune) bool { return unicode.IsControl(c) && !(v.long && (c == '\n' || c == '\t')) }):
		r.fault(n, ply, fmt.Sprintf("%s: %s holds a control character", name, quote(s)), "")
	case !v.long && strings.ContainsFunc(s, breaks):
		r.fault(n, ply, fmt.Sprintf("%s: %s holds a line break", name, quote(s)), "")
	case strings.ContainsFunc(s, overrides):
		r.fault(n, ply, fmt.Sprintf("%s: %s holds a character that turns the direction of writing", name, quote(s)), "names must read on paper as they are stored")
	default:
		return s, true
	}
	return "", false
}

// breaks reports whether a character ends a line, beside the control characters
// that do.
func breaks(c rune) bool { return c == '\u2028' || c == '\u2029' }

// overrides reports whether a character changes the direction in which those
// around it are shown, so that one name can look like another.
func overrides(c rune) bool {
	return c >= '\u202a' && c <= '\u202e' || c >= '\u2066' && c <= '\u2069'
}

func (r *reader) word(n *node, v *value, name, ply string) (string, bool) {
	if n.kind == nullNode {
		return "", false
	}
	if n.kind != scalarNode {
		r.fault(n, ply, fmt.Sprintf("%s: want a word, found %s", name, n.describe()), suggest("", v.words))
		return "", false
	}
	for _, w := range v.words {
		if n.text == w {
			return w, true
		}
	}
	r.fault(n, ply, fmt.Sprintf("%s: unknown word %s", name, quote(n.text)), suggest(n.text, v.words))
	return "", false
}

func (r *reader) number(n *node, v *value, name, ply string) (float64, bool) {
	if n.kind == nullNode {
		return 0, false
	}
	if n.kind != scalarNode {
		r.fault(n, ply, fmt.Sprintf("%s: want %s, found %s", name, v.accepts(), n.describe()), "")
		return 0, false
	}
	x, err := parseFigure(n.text, v, r.bare)
	if err != nil {
		hint := ""
		var q *shapes.QuantityError
		if errors.As(err, &q) && q.Unit != "" {
			hint = suggest(q.Unit, v.quantity.Units())
			r.fault(n, ply, fmt.Sprintf("%s: %s is no unit of %s", name, quote(q.Unit), v.quantity), hint)
			return 0, false
		}
		r.fault(n, ply, fmt.Sprintf("%s: %s is not %s", name, quote(n.text), v.accepts()), reason(err))
		return 0, false
	}
	// A figure a hair past a bound by the rounding of its unit is within it.
	slack := float64(1e-12 * (math.Abs(v.min) + math.Abs(v.max)))
	if x < v.min-slack || x > v.max+slack || v.above && x <= v.min || v.below && x >= v.max {
		r.fault(n, ply, fmt.Sprintf("%s: %s is out of range", name, quote(n.text)), "take "+v.bounds())
		return 0, false
	}
	return x, true
}

// reason is what a quantity's error says about the figure.
func reason(err error) string {
	var q *shapes.QuantityError
	if errors.As(err, &q) {
		return q.Reason
	}
	return ""
}

// parseFigure reads a figure of a value's kind.
func parseFigure(s string, v *value, bare string) (float64, error) {
	switch v.kind {
	case quantityKind:
		if v.quantity != shapes.Length {
			bare = ""
		}
		return v.quantity.Parse(s, bare)
	case clockKind:
		return shapes.ParseClock(s)
	case wholeKind:
		i, err := strconv.ParseInt(strings.TrimSpace(s), 10, 64)
		if err != nil {
			return 0, errors.New("not a whole number")
		}
		return float64(i), nil
	default:
		s = strings.TrimSpace(s)
		if strings.Contains(s, ",") {
			return 0, &shapes.QuantityError{Text: s, Reason: "decimals are written with a point"}
		}
		if strings.Trim(s, "+-.0123456789eE") != "" {
			return 0, errors.New("not a number")
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
			return 0, errors.New("not a number")
		}
		return x, nil
	}
}

// bounds writes the range of a figure for a hint.
func (v *value) bounds() string {
	unit := ""
	if v.kind == quantityKind {
		unit = " " + v.quantity.Units()[0]
	}
	low := fmt.Sprintf("%s or more", plainFigure(v.min))
	if v.above {
		low = "more than " + plainFigure(v.min)
	}
	high := fmt.Sprintf("at most %s", plainFigure(v.max))
	if v.below {
		high = "less than " + plainFigure(v.max)
	}
	return low + " and " + high + unit
}

func plainFigure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
