package main

import (
	"encoding/json"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestArrows pins the one direction of the code: outlines and job (shapes) →
// layouts (nest) → documents and cut files (export) → commands. It reads what
// each package imports, tests left out.
func TestArrows(t *testing.T) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports", "plyroom/...")
	var listing strings.Builder
	cmd.Stdout = &listing
	if err := cmd.Run(); err != nil {
		t.Skipf("SKIPPED: go list does not run here: %v", err)
	}
	imports := map[string][]string{}
	dec := json.NewDecoder(strings.NewReader(listing.String()))
	for {
		var p struct {
			ImportPath string
			Imports    []string
		}
		err := dec.Decode(&p)
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		for _, i := range p.Imports {
			if strings.HasPrefix(i, "plyroom/") {
				imports[p.ImportPath] = append(imports[p.ImportPath], i)
			}
		}
	}
	require.Greater(t, len(imports), 15)

	layer := func(path string) int {
		return slices.Index([]string{"shapes", "nest", "export", "cmd"}, strings.Split(path, "/")[1])
	}
	for path, deps := range imports {
		for _, d := range deps {
			require.GreaterOrEqual(t, layer(path), layer(d), "%s imports %s: against the direction of the code", path, d)
		}
	}
	only := func(path string, allowed ...string) {
		for _, d := range imports[path] {
			require.Contains(t, allowed, d, "%s may not import %s", path, d)
		}
	}
	// Nouns import none of their verbs.
	only("plyroom/shapes")
	only("plyroom/nest", "plyroom/shapes")
	// The verifier shares nothing with the packer or its geometry.
	only("plyroom/nest/verify", "plyroom/nest", "plyroom/shapes")
	// The packer knows no fabric.
	only("plyroom/nest/pack", "plyroom/nest/collide", "plyroom/nest/bound", "plyroom/nest/polish", "plyroom/nest/lattice", "plyroom/shapes/geom", "plyroom/shapes/steady")
	only("plyroom/nest/lattice", "plyroom/nest/collide", "plyroom/shapes/steady")
	only("plyroom/nest/collide", "plyroom/shapes/geom", "plyroom/shapes/steady")
	only("plyroom/nest/polish", "plyroom/nest/polish/internal/simplex", "plyroom/shapes/geom", "plyroom/shapes/steady")
	only("plyroom/nest/bound", "plyroom/shapes/geom", "plyroom/shapes/steady")
	// Documents never need the packer.
	for path, deps := range imports {
		if strings.HasPrefix(path, "plyroom/export") {
			require.NotContains(t, deps, "plyroom/nest/pack", path)
			require.NotContains(t, deps, "plyroom/nest/plan", path)
		}
	}
}
