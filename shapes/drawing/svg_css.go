package drawing

import (
	"cmp"
	"slices"
	"strings"
)

// cssRule is one selector with its declarations.
type cssRule struct {
	selector
	strength int
	order    int
	decls    []cssDecl
}

type cssDecl struct {
	name, value string
	important   bool
}

// styles are the rules of all style elements, lightest first.
type styles struct {
	rules []cssRule
	// filed are the rules' places by their id, first class or name.
	filed map[string][]int
	// complex are selectors that are not understood but would hide or move
	// something.
	complex []string
	// steps is how much work of matching is left.
	steps int
}

// maxSelectorSteps bounds the work of matching selectors in one document.
const maxSelectorSteps = 50_000_000

// maxRules bounds the rules of a document that matter here.
const maxRules = 2000

// cssProperties are the properties that matter here; rules for others are not
// kept.
var cssProperties = map[string]bool{
	"display": true, "visibility": true, "text-anchor": true, "font-size": true, "clip-path": true, "mask": true,
	"transform": true, "transform-origin": true, "transform-box": true, "translate": true, "rotate": true, "scale": true,
	"d": true, "r": true, "rx": true, "ry": true, "x": true, "y": true, "cx": true, "cy": true, "width": true, "height": true,
	"fill": true, "stroke": true,
}

// colours are the properties that only paint.
func colours(d cssDecl) bool { return d.name == "fill" || d.name == "stroke" }

// add parses a style sheet. Selectors are understood as parseSelector says, and
// so are rules for the screen (@media screen, all); other at-rules are not.
func (s *styles) add(css string) { s.addRules(stripComments(css), 0) }

func (s *styles) addRules(css string, depth int) {
	for len(css) > 0 && len(s.rules) < maxRules {
		open := strings.IndexByte(css, '{')
		if open < 0 {
			return
		}
		head := strings.TrimSpace(css[:open])
		// Statements such as @import end with a semicolon; nothing is fetched.
		if i := strings.LastIndexByte(head, ';'); i >= 0 {
			head = strings.TrimSpace(head[i+1:])
		}
		end := blockEnd(css[open:])
		body := css[open+1 : open+end]
		css = css[min(len(css), open+end+1):]
		if strings.HasPrefix(head, "@") {
			s.atRule(head, body, depth)
			continue
		}
		decls := slices.DeleteFunc(parseDecls(body), func(d cssDecl) bool { return !cssProperties[d.name] })
		if len(decls) == 0 {
			continue
		}
		for _, text := range splitSelectors(head) {
			sel, ok := parseSelector(text)
			if !ok {
				if !allFunc(decls, colours) {
					s.complex = append(s.complex, clip(strings.TrimSpace(text)))
				}
				continue
			}
			s.rules = append(s.rules, cssRule{selector: sel, strength: sel.weight(), order: len(s.rules), decls: decls})
		}
	}
}

// atRule takes in the rules of a group of rules that holds for a screen.
func (s *styles) atRule(head, body string, depth int) {
	name, of, _ := strings.Cut(strings.ToLower(head), " ")
	if name != "@media" && name != "@supports" && name != "@layer" {
		return // fonts, pages, animations
	}
	if name == "@media" {
		for _, m := range strings.Split(of, ",") {
			switch strings.TrimSpace(m) {
			case "", "all", "screen", "only screen", "only all":
				if depth < 8 {
					s.addRules(body, depth+1)
					return
				}
			case "print", "only print":
				if of == m {
					return // what only paper shows
				}
			}
		}
	}
	if strings.Contains(strings.ToLower(body), "display") || strings.Contains(strings.ToLower(body), "transform") {
		s.complex = append(s.complex, clip(head))
	}
}

// splitSelectors splits a list of selectors at its commas, but not within
// brackets and parentheses.
func splitSelectors(s string) []string {
	var out []string
	depth, begin := 0, 0
	for i := range len(s) {
		switch s[i] {
		case '(', '[':
			depth++
		case ')', ']':
			depth--
		case ',':
			if depth == 0 {
				out = append(out, s[begin:i])
				begin = i + 1
			}
		}
	}
	return append(out, s[begin:])
}

func allFunc[T any](list []T, f func(T) bool) bool {
	return !slices.ContainsFunc(list, func(v T) bool { return !f(v) })
}

func (s *styles) sort() {
	slices.SortStableFunc(s.rules, func(a, b cssRule) int {
		if c := cmp.Compare(a.strength, b.strength); c != 0 {
			return c
		}
		return cmp.Compare(a.order, b.order)
	})
	s.filed = map[string][]int{}
	s.steps = maxSelectorSteps
	for i, r := range s.rules {
		key, last := "*", r.last()
		switch {
		case last.id != "":
			key = "#" + last.id
		case len(last.classes) > 0:
			key = "." + last.classes[0]
		case last.name != "":
			key = last.name
		}
		s.filed[key] = append(s.filed[key], i)
	}
}

// matching are the places of the rules that match an element, lightest first.
func (s *styles) matching(n *node) []int {
	id, classes := n.attr("id"), strings.Fields(n.attr("class"))
	var out []int
	look := func(key string) {
		for _, i := range s.filed[key] {
			if s.rules[i].matches(n, &s.steps) {
				out = append(out, i)
			}
		}
	}
	look("*")
	look(n.name)
	if id != "" {
		look("#" + id)
	}
	for _, c := range classes {
		look("." + c)
	}
	slices.Sort(out)
	return out
}

func stripComments(css string) string {
	var b strings.Builder
	for {
		i := strings.Index(css, "/*")
		if i < 0 {
			break
		}
		b.WriteString(css[:i])
		j := strings.Index(css[i+2:], "*/")
		if j < 0 {
			return b.String()
		}
		css = css[i+2+j+2:]
	}
	b.WriteString(css)
	return b.String()
}

// blockEnd is the index of the brace that closes the one at the start.
func blockEnd(s string) int {
	depth := 0
	for i := range len(s) {
		switch s[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return len(s)
}

func parseDecls(s string) []cssDecl {
	var out []cssDecl
	for _, d := range strings.Split(s, ";") {
		name, value, ok := strings.Cut(d, ":")
		if !ok || len(out) >= 200 {
			continue
		}
		value = strings.TrimSpace(value)
		important := false
		if i := strings.IndexByte(value, '!'); i >= 0 && strings.EqualFold(strings.TrimSpace(value[i+1:]), "important") {
			value, important = strings.TrimSpace(value[:i]), true
		}
		out = append(out, cssDecl{strings.ToLower(strings.TrimSpace(name)), value, important})
	}
	return out
}

// value is what a property of an element is set to, or empty: by attribute,
// then rules, then its own style, each over the one before.
func (s *styles) value(n *node, property string) string {
	if v, ok := s.styled(n, property); ok {
		return v
	}
	return strings.TrimSpace(n.attr(property))
}

// styled is what rules or the element's own style set a property to; ok is
// false where they do not.
func (s *styles) styled(n *node, property string) (v string, ok bool) {
	if !n.resolved {
		n.decls, n.resolved = s.resolve(n), true
	}
	for _, d := range n.decls {
		if d.name == property {
			return d.value, true
		}
	}
	return "", false
}

// resolve is what rules and the element's own style set, each property once.
func (s *styles) resolve(n *node) []cssDecl {
	var out []cssDecl
	set := func(ds []cssDecl) {
		for _, d := range ds {
			if !cssProperties[d.name] {
				continue
			}
			i := slices.IndexFunc(out, func(o cssDecl) bool { return o.name == d.name })
			switch {
			case i < 0:
				out = append(out, d)
			case d.important || !out[i].important:
				out[i] = d
			}
		}
	}
	if len(s.rules) > 0 {
		for _, i := range s.matching(n) {
			set(s.rules[i].decls)
		}
	}
	if st := n.attr("style"); st != "" {
		set(parseDecls(st))
	}
	return out
}
