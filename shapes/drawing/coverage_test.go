package drawing

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every test and case that the page of what is tested names is there.
func TestCoveragePage(t *testing.T) {
	var code strings.Builder
	files, err := filepath.Glob("*_test.go")
	require.NoError(t, err)
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		code.Write(b)
	}
	page, err := os.ReadFile("coverage.md")
	require.NoError(t, err)
	named := regexp.MustCompile("`([^`\n]+)`").FindAllStringSubmatch(string(page), -1)
	require.Greater(t, len(named), 100)
	for _, m := range named {
		want := `"` + m[1] + `"`
		if strings.HasPrefix(m[1], "Test") || strings.HasPrefix(m[1], "Fuzz") {
			want = "func " + m[1] + "("
		}
		assert.Contains(t, code.String(), want, "the page names %s", m[1])
	}
}
