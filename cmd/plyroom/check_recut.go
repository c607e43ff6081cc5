package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"plyroom/nest/recut"
)

// recutPath is where the folder of a recut should be.
func recutPath(home string, e *recut.Entry) string {
	if e.Folder == fmt.Sprintf("recut-%d", e.Number) {
		return filepath.Join(home, e.Folder)
	}
	return e.Folder
}

// checkRecut checks a recut, given its folder or recut.json; false where the
// path is no recut.
func (a *app) checkRecut(path string, asJSON bool) (bool, error) {
	if filepath.Base(path) != recut.FileName {
		if info, err := os.Stat(path); err == nil && !info.IsDir() {
			return false, nil // a record
		}
		path = filepath.Join(path, recut.FileName)
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	var e recut.Entry
	if err == nil {
		err = json.Unmarshal(data, &e)
	}
	if err != nil {
		return true, fmt.Errorf("%s: %w", path, err)
	}
	findings := append([]string{}, e.Check()...)
	if asJSON {
		if err := a.printJSON(map[string]any{"clean": len(findings) == 0, "findings": findings, "plies": 1, "layouts": 1}); err != nil {
			return true, err
		}
	} else {
		for _, f := range findings {
			fmt.Fprintln(a.stdout, f)
		}
	}
	if len(findings) > 0 {
		return true, cannot(fmt.Errorf("%d %s in %s; do not cut from it", len(findings), plural(len(findings), "rule is broken", "rules are broken"), path))
	}
	if !asJSON {
		fmt.Fprintf(a.stdout, "%s: the ply keeps every rule\n", path)
	}
	return true, nil
}
