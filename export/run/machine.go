package run

import (
	"fmt"
	"os"

	"github.com/goccy/go-yaml"

	"plyroom/export/toolpath"
)

// maxProfile bounds a machine profile, so that a wrong file is no burden.
const maxProfile = 1 << 20

// ReadMachine reads a machine profile, a YAML file of the fields of
// toolpath.Machine; an empty path gives the default machine. Unknown keys are
// errors that name the line.
func ReadMachine(path string) (toolpath.Machine, error) {
	var m toolpath.Machine
	if path == "" {
		return m, nil
	}
	info, err := os.Stat(path)
	if err != nil {
		return m, err
	}
	if info.Size() > maxProfile {
		return m, fmt.Errorf("%s: %d bytes are too many for a machine profile", path, info.Size())
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return m, err
	}
	if err := yaml.UnmarshalWithOptions(data, &m, yaml.Strict()); err != nil {
		return m, fmt.Errorf("%s: %s", path, yaml.FormatError(err, false, true))
	}
	if err := m.Defaults().Validate(); err != nil {
		return m, fmt.Errorf("%s: %w", path, err)
	}
	return m, nil
}
