// Command generate writes the demo job: the nacelle cover and spinner of an
// invented 6 kW wind turbine, and a second small job whose only ply is too
// wide for its roll.
//
//	go run ./testdata/nacelle/generate
//
// It writes below testdata, or below the folder given with -o, the same bytes
// every time. Every name, size, mass and price is invented.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
)

func main() {
	root := flag.String("o", "testdata", "folder to write nacelle and too-wide into")
	flag.Parse()
	if err := run(*root); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(root string) error {
	files := map[string][]byte{}
	for _, part := range nacelle() {
		for _, sheet := range part.sheets {
			files["nacelle/"+sheet.file] = sheet.bytes()
		}
		if part.table != "" {
			files["nacelle/"+part.table] = plyTable(part)
		}
	}
	files["nacelle/job.yaml"] = nacelleJob()
	for _, sheet := range tooWide().sheets {
		files["too-wide/"+sheet.file] = sheet.bytes()
	}
	files["too-wide/job.yaml"] = tooWideJob()

	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		path := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, files[name]) {
			continue
		}
		if err := os.WriteFile(path, files[name], fs.FileMode(0o644)); err != nil {
			return err
		}
		fmt.Println(path)
	}
	return nil
}
