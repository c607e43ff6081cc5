package toolpath

import (
	"bytes"
	_ "embed" // the sample profile
	"errors"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"

	"plyroom/shapes/jobfile"
)

// maxProfile bounds a profile file, bytes.
const maxProfile = 64 << 10

//go:embed machine.yaml
var sample string

// SampleProfile is a machine profile that names every field, at its default,
// with a comment.
func SampleProfile() string { return sample }

// ReadMachine reads a machine profile: a YAML mapping of the fields of Machine
// under their lower-case names. Defaults are filled in where a field is not
// written. An unknown or repeated field, a value that cannot be, or an anchor
// is an error that names the line.
func ReadMachine(r io.Reader) (Machine, error) {
	raw, err := io.ReadAll(io.LimitReader(r, maxProfile+1))
	if err != nil {
		return Machine{}, fmt.Errorf("machine profile: %w", err)
	}
	if len(raw) > maxProfile {
		return Machine{}, fmt.Errorf("machine profile: longer than %d KiB", maxProfile>>10)
	}
	tokens := lexer.Tokenize(string(raw))
	for _, t := range tokens {
		if t.Type == token.AnchorType || t.Type == token.AliasType {
			return Machine{}, fmt.Errorf("machine profile: line %d: anchors and aliases are not read", t.Position.Line)
		}
	}
	if err := wholeNumbers(tokens); err != nil {
		return Machine{}, err
	}
	// Some defaults follow from other fields: read once to know those, and
	// again over the defaults, so that a written 0 stays.
	var m Machine
	if err := decode(raw, &m); err != nil {
		return Machine{}, err
	}
	m = Machine{Kind: m.Kind, Units: m.Units}.Defaults()
	if err := decode(raw, &m); err != nil {
		return Machine{}, err
	}
	m = m.Defaults() // where the file is empty, nothing of them is left
	err = m.Validate()
	var bad *fieldError
	if errors.As(err, &bad) {
		if line := lineOf(tokens, bad.field); line > 0 {
			return m, fmt.Errorf("machine profile: line %d: %s", line, bad.words())
		}
	}
	return m, err
}

// decode reads YAML into a machine and puts what is wrong in plain words.
func decode(raw []byte, m *Machine) error {
	err := yaml.NewDecoder(bytes.NewReader(raw), yaml.Strict()).Decode(m)
	if err == nil || errors.Is(err, io.EOF) { // an empty profile is all defaults
		return nil
	}
	var at yaml.Error
	if !errors.As(err, &at) || at.GetToken() == nil {
		return fmt.Errorf("machine profile: %w", err)
	}
	t := at.GetToken()
	return fmt.Errorf("machine profile: line %d: %s", t.Position.Line, says(at, t))
}

// says puts an error of the YAML reader in plain words.
func says(err yaml.Error, t *token.Token) string {
	var (
		unknown *yaml.UnknownFieldError
		typ     *yaml.TypeError
		over    *yaml.OverflowError
		node    *yaml.UnexpectedNodeTypeError
	)
	switch {
	case errors.As(err, &unknown):
		words := fmt.Sprintf("there is no field %q", t.Value)
		if n := jobfile.Nearest(t.Value, slices.Sorted(maps.Keys(fields()))); n != "" {
			words += fmt.Sprintf("; did you mean %q?", n)
		}
		return words
	case strings.Contains(err.GetMessage(), "already defined"):
		return fmt.Sprintf("%s is written twice", keyOf(t))
	case errors.As(err, &over):
		return fmt.Sprintf("%s is too large", t.Value)
	case errors.As(err, &typ), errors.As(err, &node):
		key := keyOf(t)
		f, known := fields()[key]
		if !known {
			return `a profile is a list of fields, such as "feed: 12000"`
		}
		return fmt.Sprintf("%s does not take %q; it takes %s", key, t.Value, takes(f))
	}
	return err.GetMessage()
}

// takes words what a field of a type takes.
func takes(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	case reflect.Slice:
		return `a list of lines, such as ["G17", "G40"]`
	case reflect.Struct:
		return "fields of its own, such as {outline: 1, mark: 2}"
	}
	return "a word or text"
}

// fields are the types of every field of a profile, by name.
func fields() map[string]reflect.Type {
	out := map[string]reflect.Type{}
	for _, t := range []reflect.Type{reflect.TypeFor[Machine](), reflect.TypeFor[Tools]()} {
		for i := range t.NumField() {
			if name := t.Field(i).Tag.Get("yaml"); name != "" {
				out[name] = t.Field(i).Type
			}
		}
	}
	return out
}

// wholeNumbers refuses a broken number where a whole one is due: the reader
// would drop its fraction.
func wholeNumbers(tokens token.Tokens) error {
	known := fields()
	for _, t := range tokens {
		if t.Type != token.FloatType {
			continue
		}
		if key := keyOf(t); known[key] == reflect.TypeFor[int]() {
			return fmt.Errorf("machine profile: line %d: %s does not take %q; it takes a whole number", t.Position.Line, key, t.Value)
		}
	}
	return nil
}

// keyOf is the field that a token is the name of, or the value of; empty where
// there is none.
func keyOf(t *token.Token) string {
	for ; t != nil; t = t.Prev {
		if t.Next != nil && t.Next.Type == token.MappingValueType {
			return strings.TrimSpace(t.Value)
		}
	}
	return ""
}

// lineOf is the line a field is written on, 0 where it is not.
func lineOf(tokens token.Tokens, field string) int {
	for _, t := range tokens {
		if t.Value == field && t.Next != nil && t.Next.Type == token.MappingValueType {
			return t.Position.Line
		}
	}
	return 0
}
