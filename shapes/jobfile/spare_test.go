package jobfile

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// A fault of one outline stops the job only where a ply needs the outline, or
// where the fault may be of an outline that a ply needs.
func TestFaultsOfOutlinesThatNoPlyUses(t *testing.T) {
	const (
		skin  = `<rect id="SKIN" width="200" height="100"/>`
		cheek = `<rect id="CHEEK" x="300" width="200" height="100"/>`
	)
	for _, c := range []struct {
		name, body, outline string
		spared              bool
	}{
		{"crossing, elsewhere", skin + `<path id="BOW" d="M600 0L700 100H600L700 0Z"/>`, "SKIN", true},
		{"open, elsewhere", skin + `<path id="LIP" d="M600 0H700V100H610"/>`, "SKIN", true},
		{"no area, elsewhere", skin + `<path id="LIP" d="M600 0H700L650 0Z"/>`, "SKIN", true},
		{"both sides of the drawing", skin + `<path id="BOW" d="M600 0L700 100H600L700 0Z"/>`, "SKIN", true},
		{"another of the drawing is used", skin + cheek + `<path id="BOW" d="M600 0L700 100H600L700 0Z"/>`, "CHEEK", true},
		{"used", skin + `<path id="BOW" d="M600 0L700 100H600L700 0Z"/>`, "BOW", false},
		{"a cut-out", skin + `<path id="BOW" d="M20 20L70 70H20L70 20Z"/>`, "SKIN", false},
		{"round the outline", skin + `<path id="BOW" d="M-20 -20H400V400H-20L450 100Z"/>`, "SKIN", false},
		{"touching it", skin + `<path id="BOW" d="M200 0L300 100H200L300 0Z"/>`, "SKIN", false},
		{"of the same name", skin + `<path id="SKIN" d="M600 0L700 100H600L700 0Z"/>`, "SKIN", false},
		{"of the same written name", skin + `<text x="10" y="50">SKIN</text><path d="M600 0L700 100H600L700 0Z"/><text x="610" y="30" font-size="5">SKIN</text>`, "SKIN", false},
		{"names that are counted", `<rect width="200" height="100"/><path d="M600 0L700 100H600L700 0Z"/><rect y="500" width="9" height="9"/>`, "outline 2", false},
		{"a number that hangs on it", skin + `<rect id="SKIN" x="400" width="9" height="9"/><path id="SKIN" d="M600 0L700 100H600L700 0Z"/>`, "SKIN-2", false},
		{"not of one outline", skin + `<rect id="X" x="600" width="9" height="9" transform="spin(3)"/>`, "SKIN", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "a.svg"), []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+c.body+`</svg>`), 0o600))
			side := "above"
			if c.name == "both sides of the drawing" {
				side = "tool_side"
			}
			job := fmt.Sprintf("job: J\nfabrics: [{name: F, construction: plain, areal_mass: 600, width: 1270}]\nparts:\n"+
				"  - part: P\n    outlines: a.svg\n    plies: [{order: 1, ply: A, outline: %q, fabric: F, direction: 0}]\n"+
				"  - part: Q\n    outlines: a.svg\n    viewed_from: %s\n    plies: [{order: 1, ply: A, outline: %[1]q, fabric: F, direction: 0}]\n", c.outline, side)
			path := filepath.Join(dir, "job.yaml")
			require.NoError(t, os.WriteFile(path, []byte(job), 0o600))
			j, problems := Read(path)
			if !c.spared {
				require.NotEmpty(t, problems.Faults())
				return
			}
			require.Empty(t, problems.Faults())
			require.NotNil(t, j)
			require.Len(t, problems, 1)
			assert.Equal(t, shapes.Doubt, problems[0].Severity)
			assert.Contains(t, problems[0].Message, "was left out; no ply uses it")
		})
	}
}
