package main

import (
	"errors"
	"fmt"

	"plyroom/export"
)

// newFolder begins the folder of a run; it says what to do where there is one.
func newFolder(out string, force bool) (*export.Folder, error) {
	folder, err := export.NewFolder(out, force)
	if errors.Is(err, export.ErrExists) {
		return nil, fmt.Errorf("%w; choose another folder, or --force to replace it", err)
	}
	return folder, err
}
