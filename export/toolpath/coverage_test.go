package toolpath_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every test that the page of what is tested names is there, in its package
// where one is named.
func TestCoveragePage(t *testing.T) {
	code := map[string]string{}
	for _, dir := range []string{".", "../dxf", "../svg", "../hpgl", "../gcode"} {
		files, err := filepath.Glob(dir + "/*_test.go")
		require.NoError(t, err)
		for _, f := range files {
			b, err := os.ReadFile(f)
			require.NoError(t, err)
			code[filepath.Base(dir)] += string(b)
			code["all"] += string(b)
		}
	}
	page, err := os.ReadFile("coverage.md")
	require.NoError(t, err)
	n := 0
	for _, line := range strings.Split(string(page), "\n") {
		where := "all"
		for _, m := range regexp.MustCompile("\\b(dxf|svg|hpgl|gcode)\\b|`(Test[A-Za-z0-9]+)`").FindAllStringSubmatch(line, -1) {
			if m[1] != "" {
				where = m[1]
				continue
			}
			n++
			assert.Contains(t, code[where], "func "+m[2]+"(", "the page names %s of %s", m[2], where)
		}
	}
	require.Greater(t, n, 60)
}
