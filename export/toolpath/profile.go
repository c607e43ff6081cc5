package toolpath

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// maxProfile bounds a profile file, bytes.
const maxProfile = 64 << 10

// ReadMachine reads a machine profile: a YAML mapping of the fields of Machine
// under their lower-case names. Defaults are filled in. An unknown or repeated
// field, a value that cannot be, or an anchor is an error that names the line.
func ReadMachine(r io.Reader) (Machine, error) {
	raw, err := io.ReadAll(io.LimitReader(r, maxProfile+1))
	if err != nil {
		return Machine{}, fmt.Errorf("machine profile: %w", err)
	}
	if len(raw) > maxProfile {
		return Machine{}, fmt.Errorf("machine profile: longer than %d KiB", maxProfile>>10)
	}
	for _, t := range lexer.Tokenize(string(raw)) {
		if t.Type == token.AnchorType || t.Type == token.AliasType {
			return Machine{}, fmt.Errorf("machine profile: line %d: anchors and aliases are not read", t.Position.Line)
		}
	}
	var m Machine
	err = yaml.NewDecoder(bytes.NewReader(raw), yaml.Strict()).Decode(&m)
	if err != nil && !errors.Is(err, io.EOF) { // an empty profile is all defaults
		return Machine{}, fmt.Errorf("machine profile: %s", yaml.FormatError(err, false, true))
	}
	m = m.Defaults()
	return m, m.Validate()
}
