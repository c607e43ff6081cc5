package run

import (
	"fmt"
	"os"

	"plyroom/export/toolpath"
)

// ReadMachine reads a machine profile from a file; an empty path gives the
// default machine. Errors name the file and, where it has one, the line.
func ReadMachine(path string) (toolpath.Machine, error) {
	if path == "" {
		return toolpath.Machine{}, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return toolpath.Machine{}, err
	}
	defer f.Close()
	m, err := toolpath.ReadMachine(f)
	if err != nil {
		return m, fmt.Errorf("%s: %w", path, err)
	}
	return m, nil
}
