package cutcase

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Golden compares text with the file testdata/name and reports the first line
// that differs. With update it writes the file first.
func Golden(t *testing.T, name, got string, update bool) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if update {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want := string(raw)
	if got == want {
		return
	}
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(a), len(b)) {
		if i >= len(a) || i >= len(b) || a[i] != b[i] {
			t.Errorf("%s differs from line %d on; run with -update and look at the difference", path, i+1)
			return
		}
	}
}
