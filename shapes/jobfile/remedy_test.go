package jobfile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A drawing that states no unit stops the job with the very line that states
// it, whatever the unit of the job; that line, typed in, is enough.
func TestRemedyOfADrawingWithoutUnit(t *testing.T) {
	folder := t.TempDir()
	dxf, err := os.ReadFile(filepath.Join(filepath.FromSlash(demo), "upper-shell.dxf"))
	require.NoError(t, err)
	text := strings.Replace(string(dxf), "$INSUNITS\n 70\n4\n", "$INSUNITS\n 70\n0\n", 1)
	require.NotEqual(t, string(dxf), text)
	require.NoError(t, os.Mkdir(filepath.Join(folder, "drawings"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "drawings", "shell.dxf"), []byte(text), 0o644))
	job := strings.NewReplacer("outlines: upper-shell.dxf", "outlines: drawings/shell.dxf", "CHEEK, fabric: BX 600", "CROWN, fabric: BX 600").Replace(base)
	path := filepath.Join(folder, "job.yaml")
	require.NoError(t, os.WriteFile(path, []byte(job), 0o644))
	_, problems := Read(path)
	const entry = "outlines: {file: drawings/shell.dxf, units: mm}"
	require.ErrorContains(t, problems, entry)
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(job, "outlines: drawings/shell.dxf", entry, 1)), 0o644))
	got, problems := Read(path)
	require.NotNil(t, got, problems)
}
