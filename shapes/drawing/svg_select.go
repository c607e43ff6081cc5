package drawing

import (
	"slices"
	"strings"
)

// A compound is one step of a selector: what an element itself must be, such
// as path#skin.cut[id^="U"]:not(.off).
type compound struct {
	name, id string
	classes  []string
	attrs    []attrTest
	// first, last and root ask for that place among the siblings or in the
	// document.
	first, last, root bool
	not               []compound
	weight            int
}

// An attrTest is what an attribute must be: [name], or [name op= value] with
// op one of 0 (equal), '^', '$', '*', '~' and '|'.
type attrTest struct {
	name, value string
	op          byte
	present     bool // only that it is there
}

// A selector is a chain of compounds, the last for the element itself. Before
// each but the first stands its combinator: ' ', '>', '+' or '~'.
type selector struct {
	parts []compound
	with  []byte
}

// Bounds of a selector; what goes beyond is not understood.
const (
	maxSelectorParts = 8
	maxSelectorBytes = 500
)

// parseSelector reads one selector of a list. ok is false where it holds what
// is not understood, such as :hover or :nth-child().
func parseSelector(s string) (sel selector, ok bool) {
	s = strings.TrimSpace(s)
	if s == "" || len(s) > maxSelectorBytes {
		return sel, false
	}
	p := selectorScanner{s: s}
	for {
		c, ok := p.compound(false)
		if !ok || len(sel.parts) >= maxSelectorParts {
			return sel, false
		}
		sel.parts = append(sel.parts, c)
		comb, more := p.combinator()
		if !more {
			return sel, p.at == len(p.s)
		}
		sel.with = append(sel.with, comb)
	}
}

// weight is the selector's specificity: ids before classes, attributes and
// pseudo-classes before names.
func (s *selector) weight() int {
	sum := 0
	for i := range s.parts {
		sum += s.parts[i].weight
	}
	return sum
}

// last is the compound of the element itself.
func (s *selector) last() *compound { return &s.parts[len(s.parts)-1] }

// selectorScanner reads a selector.
type selectorScanner struct {
	s  string
	at int
}

func (p *selectorScanner) peek() byte {
	if p.at < len(p.s) {
		return p.s[p.at]
	}
	return 0
}

func (p *selectorScanner) space() (some bool) {
	for strings.IndexByte(" \t\r\n\f", p.peek()) >= 0 && p.at < len(p.s) {
		p.at++
		some = true
	}
	return some
}

// combinator reads what stands between two compounds; more is false at the
// end.
func (p *selectorScanner) combinator() (comb byte, more bool) {
	some := p.space()
	switch c := p.peek(); c {
	case '>', '+', '~':
		p.at++
		p.space()
		return c, true
	case 0:
		return 0, false
	}
	return ' ', some
}

// word reads a name; a backslash takes the next character as it is.
func (p *selectorScanner) word() string {
	var b strings.Builder
	for p.at < len(p.s) {
		c := p.s[p.at]
		if c == '\\' && p.at+1 < len(p.s) && !isHexDigit(p.s[p.at+1]) {
			b.WriteByte(p.s[p.at+1])
			p.at += 2
			continue
		}
		if c != '-' && c != '_' && c < 0x80 && !isLetterOrDigit(c) {
			break
		}
		b.WriteByte(c)
		p.at++
	}
	return b.String()
}

func isLetterOrDigit(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}

func isHexDigit(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F'
}

// compound reads one compound; inner ones, in :not(), hold no further :not().
func (p *selectorScanner) compound(inner bool) (c compound, ok bool) {
	begin := p.at
	if p.peek() == '*' {
		p.at++
	} else if c.name = p.word(); c.name != "" {
		c.weight++
	}
	// A namespace prefix, as in svg|path, is passed over.
	if p.peek() == '|' {
		p.at++
		if p.peek() == '*' {
			p.at++
			c.name, c.weight = "", 0
		} else if c.name = p.word(); c.name == "" {
			return c, false
		}
	}
	for {
		switch p.peek() {
		case '#':
			p.at++
			id := p.word()
			if id == "" || c.id != "" && c.id != id {
				return c, false
			}
			c.id = id
			c.weight += 10000
		case '.':
			p.at++
			w := p.word()
			if w == "" {
				return c, false
			}
			c.classes = append(c.classes, w)
			c.weight += 100
		case '[':
			t, ok := p.attribute()
			if !ok {
				return c, false
			}
			c.attrs = append(c.attrs, t)
			c.weight += 100
		case ':':
			if !p.pseudo(&c, inner) {
				return c, false
			}
		default:
			return c, p.at > begin
		}
	}
}

// attribute reads [name], [name=value] and their like.
func (p *selectorScanner) attribute() (t attrTest, ok bool) {
	end := strings.IndexByte(p.s[p.at:], ']')
	if end < 0 {
		return t, false
	}
	body := strings.TrimSpace(p.s[p.at+1 : p.at+end])
	p.at += end + 1
	name, value, has := strings.Cut(body, "=")
	if !has {
		t.name, t.present = body, true
		return t, body != "" && !strings.ContainsAny(body, " |:\"'")
	}
	name = strings.TrimSpace(name)
	if n := len(name); n > 0 && strings.IndexByte("^$*~|", name[n-1]) >= 0 {
		t.op = name[n-1]
		name = strings.TrimSpace(name[:n-1])
	}
	value = strings.TrimSpace(value)
	if n := len(value); n >= 2 && (value[0] == '"' || value[0] == '\'') {
		if value[n-1] != value[0] {
			return t, false // such as a case flag
		}
		value = value[1 : n-1]
	}
	t.name, t.value = name, value
	return t, name != "" && !strings.ContainsAny(name, " |:")
}

// pseudo reads a pseudo-class into c.
func (p *selectorScanner) pseudo(c *compound, inner bool) bool {
	p.at++
	switch p.word() {
	case "first-child":
		c.first = true
	case "last-child":
		c.last = true
	case "only-child":
		c.first, c.last = true, true
	case "root":
		c.root = true
	case "not":
		if inner || p.peek() != '(' {
			return false
		}
		p.at++
		p.space()
		n, ok := p.compound(true)
		p.space()
		if !ok || p.peek() != ')' {
			return false
		}
		p.at++
		c.not = append(c.not, n)
		c.weight += n.weight
		return true
	default:
		return false
	}
	c.weight += 100
	return true
}

// matches reports whether the element is what the compound asks for.
func (c *compound) matches(n *node) bool {
	switch {
	case c.name != "" && c.name != n.name,
		c.id != "" && c.id != n.attr("id"),
		c.root && n.parent != nil,
		c.first && n.beside(-1) != nil,
		c.last && n.beside(1) != nil:
		return false
	}
	if len(c.classes) > 0 {
		classes := strings.Fields(n.attr("class"))
		for _, w := range c.classes {
			if !slices.Contains(classes, w) {
				return false
			}
		}
	}
	for i := range c.attrs {
		if !c.attrs[i].matches(n) {
			return false
		}
	}
	for i := range c.not {
		if c.not[i].matches(n) {
			return false
		}
	}
	return true
}

func (t *attrTest) matches(n *node) bool {
	if !n.has(t.name) {
		return false
	}
	v := n.attr(t.name)
	switch {
	case t.present:
		return true
	case t.op == 0:
		return v == t.value
	case t.op == '|':
		return v == t.value || strings.HasPrefix(v, t.value+"-")
	case t.value == "":
		return false
	case t.op == '^':
		return strings.HasPrefix(v, t.value)
	case t.op == '$':
		return strings.HasSuffix(v, t.value)
	case t.op == '*':
		return strings.Contains(v, t.value)
	}
	return slices.Contains(strings.Fields(v), t.value)
}

// beside is the element's next sibling element in a direction, 1 or -1, or
// nil.
func (n *node) beside(dir int) *node {
	if n.parent == nil {
		return nil
	}
	kids := n.parent.kids
	for i := n.place + dir; i >= 0 && i < len(kids); i += dir {
		if kids[i].name != "#text" {
			return kids[i]
		}
	}
	return nil
}

// matches reports whether the selector names the element. steps bounds the
// work of all matching in a document and is used up by it.
func (s *selector) matches(n *node, steps *int) bool {
	return s.matchesAt(n, len(s.parts)-1, steps)
}

func (s *selector) matchesAt(n *node, i int, steps *int) bool {
	if *steps--; *steps < 0 || n == nil || !s.parts[i].matches(n) {
		return false
	}
	if i == 0 {
		return true
	}
	switch s.with[i-1] {
	case '>':
		return s.matchesAt(n.parent, i-1, steps)
	case '+':
		return s.matchesAt(n.beside(-1), i-1, steps)
	case '~':
		for b := n.beside(-1); b != nil && *steps >= 0; b = b.beside(-1) {
			if s.matchesAt(b, i-1, steps) {
				return true
			}
		}
		return false
	}
	for up := n.parent; up != nil && *steps >= 0; up = up.parent {
		if s.matchesAt(up, i-1, steps) {
			return true
		}
	}
	return false
}
