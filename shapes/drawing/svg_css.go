package drawing

import (
	"cmp"
	"slices"
	"strings"
)

// cssRule is one simple selector with its declarations.
type cssRule struct {
	name, id string
	classes  []string
	weight   int
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
	// complex are selectors that are not understood but would hide something.
	complex []string
}

// maxRules bounds the rules of a document that matter here.
const maxRules = 300

// cssProperties are the properties that matter here; rules for others are not
// kept.
var cssProperties = map[string]bool{
	"display": true, "visibility": true, "text-anchor": true, "font-size": true, "transform": true,
	"transform-origin": true, "clip-path": true, "mask": true, "d": true, "r": true, "rx": true, "ry": true,
}

// add parses a style sheet. Simple selectors are understood: a name, classes
// and an id, in any combination, in lists. Rules within at-rules are not.
func (s *styles) add(css string) {
	css = stripComments(css)
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
			continue
		}
		decls := slices.DeleteFunc(parseDecls(body), func(d cssDecl) bool { return !cssProperties[d.name] })
		if len(decls) == 0 {
			continue
		}
		for _, sel := range strings.Split(head, ",") {
			sel = strings.TrimSpace(sel)
			r, ok := parseSelector(sel)
			if !ok {
				if hides(decls) {
					s.complex = append(s.complex, clip(sel))
				}
				continue
			}
			r.decls = decls
			r.order = len(s.rules)
			s.rules = append(s.rules, r)
		}
	}
}

func (s *styles) sort() {
	slices.SortStableFunc(s.rules, func(a, b cssRule) int {
		if c := cmp.Compare(a.weight, b.weight); c != 0 {
			return c
		}
		return cmp.Compare(a.order, b.order)
	})
	s.filed = map[string][]int{}
	for i, r := range s.rules {
		key := "*"
		switch {
		case r.id != "":
			key = "#" + r.id
		case len(r.classes) > 0:
			key = "." + r.classes[0]
		case r.name != "":
			key = r.name
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
			if s.rules[i].matches(n, id, classes) {
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

func hides(decls []cssDecl) bool {
	for _, d := range decls {
		if d.name == "display" && strings.EqualFold(d.value, "none") || d.name == "visibility" && !strings.EqualFold(d.value, "visible") {
			return true
		}
	}
	return false
}

// parseSelector reads name#id.class.class.
func parseSelector(s string) (r cssRule, ok bool) {
	if s == "" || strings.ContainsAny(s, " \t\r\n>+~[:()") {
		return r, false
	}
	kind := byte(' ')
	part := ""
	flush := func() bool {
		switch kind {
		case ' ':
			if part != "" && part != "*" {
				r.name = part
				r.weight++
			}
		case '#':
			r.id = part
			r.weight += 10000
			return part != ""
		case '.':
			r.classes = append(r.classes, part)
			r.weight += 100
			return part != ""
		}
		return true
	}
	for i := range len(s) {
		if s[i] == '#' || s[i] == '.' {
			if !flush() {
				return r, false
			}
			kind, part = s[i], ""
			continue
		}
		part += s[i : i+1]
	}
	return r, flush()
}

func (r *cssRule) matches(n *node, id string, classes []string) bool {
	if r.name != "" && r.name != n.name || r.id != "" && r.id != id {
		return false
	}
	for _, c := range r.classes {
		if !slices.Contains(classes, c) {
			return false
		}
	}
	return true
}

// value is what a property of an element is set to, or empty: by attribute,
// then rules, then its own style, each over the one before.
func (s *styles) value(n *node, property string) string {
	v := n.attr(property)
	strong := false
	set := func(ds []cssDecl) {
		for _, d := range ds {
			if d.name == property && (d.important || !strong) {
				v, strong = d.value, d.important
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
	return strings.TrimSpace(v)
}
