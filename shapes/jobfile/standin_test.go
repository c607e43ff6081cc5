package jobfile

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// What a started job holds in place of the shop's own figures is doubted, and
// noted for the papers, until it is changed or its remark is taken away.
func TestStandInsAreDoubted(t *testing.T) {
	sheets := []Sheet{{Path: "shell.dxf", Outlines: []*shapes.Outline{outlineL("SKIN", ""), outlineL("CHEEK", "")}}}
	var b bytes.Buffer
	require.NoError(t, New(&b, "Hull", sheets))
	const (
		fabric     = `job.yaml:8:11: fabric "FABRIC 1" still holds what "plyroom new" put in for yours: `
		all        = "name FABRIC 1, construction plain, areal_mass 600 g/m2, width 1250, selvedge 20"
		hint       = "; put in your own; where one is right as it is, take the remark CHANGE off its line"
		directions = `job.yaml:22:7: shell: the directions of all plies are still 0, as "plyroom new" put them in; put in the part's own; where they are right as they are, take the remark CHANGE off the line of "plies"`
	)
	remarks := strings.NewReplacer(" # CHANGE", " #", " # CHANGE:", " #")
	own := strings.NewReplacer("FABRIC 1", "WR 800", "600 g/m2", "800 g/m2", ": 1250", ": 1270", ": 20 # CHANGE: at", ": 15 # CHANGE: at", "plain # CHANGE", "plain #")
	tests := []struct {
		name string
		edit func(string) string
		want []string
	}{
		{"untouched", func(s string) string { return s }, []string{fabric + all + hint, directions}},
		{"remarks gone, figures as written", remarks.Replace, []string{fabric + all + hint}},
		{"one figure left", func(s string) string { return strings.Replace(own.Replace(s), "1270", "1250", 1) },
			[]string{strings.Replace(fabric, "FABRIC 1", "WR 800", 1) + "width 1250" + hint, directions}},
		{"right as it is, and said so", func(s string) string {
			return strings.Replace(own.Replace(s), "1270 # CHANGE: whole", "1250 # whole", 1)
		}, []string{directions}},
		{"own figures and directions", func(s string) string { return strings.Replace(own.Replace(s), "direction: 0", "direction: 90", 1) }, nil},
		{"a mat has no directions", func(s string) string { return strings.Replace(own.Replace(s), "plain #", "mat #", 1) }, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := tt.edit(b.String())
			job, problems := written(text, sheets)
			require.NotNil(t, job, problems)
			assert.Equal(t, strings.Join(tt.want, "\n"), problems.Error())
			noted := 0
			for _, n := range job.Notes {
				if strings.Contains(n, "stand-ins") {
					noted++
				}
			}
			assert.Equal(t, len(tt.want), noted, job.Notes)
		})
	}
	// A fabric that happens to be plain and 1250 wide is nobody's stand-in.
	_, problems := readText(strings.Replace(base, "width: 600", "width: 1250", 1))
	require.Empty(t, problems)
}
