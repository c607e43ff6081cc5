package drawing

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Remedies are written as they are to be typed: as the entry of the job that
// lists the drawing, or as the flag of the command that reads it.
func TestRemedies(t *testing.T) {
	unitless := section("ENTITIES", pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 10)) + pairs(0, "EOF")
	stated := section("HEADER", pairs(9, "$INSUNITS", 70, 4))
	open := stated + section("ENTITIES", lines(0, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 100, 0, 12.4)) + pairs(0, "EOF")
	loose := stated + section("ENTITIES", dxfLine(0, 0, 500, 0)) + pairs(0, "EOF")
	svg := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v9z"/></svg>`
	tests := []struct{ name, file, inJob, flag string }{
		{"unit of a DXF", unitless, `state it: outlines: {file: "my shell.dxf", units: mm}, or cm, m, in, ft; "units" of the job itself is for lengths in the job file`,
			"state it: --units mm, or cm, m, in, ft"},
		{"size of an SVG", svg, `outlines: {file: "my shell.dxf", px_per_inch: 96}, or 90, 72; or the unit it was drawn in: outlines: {file: "my shell.dxf", units: mm}`,
			"--px-per-inch 96, or 90, 72; or the unit it was drawn in: --units mm"},
		{"open contour", open, `have gaps up to so much closed: outlines: {file: "my shell.dxf", close_gaps: 13 mm}`, "have gaps up to so much closed: --close-gaps 13"},
		{"nothing closed", loose, `have wider gaps closed: outlines: {file: "my shell.dxf", close_gaps: 5 mm}`, "have wider gaps closed: --close-gaps 5"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadFrom(strings.NewReader(tt.file), "a.dxf", Options{Entry: `"my shell.dxf"`})
			require.ErrorContains(t, err, tt.inJob)
			require.NotContains(t, err.Error(), "--")
			_, err = ReadFrom(strings.NewReader(tt.file), "a.dxf", Options{})
			require.ErrorContains(t, err, tt.flag)
			require.NotContains(t, err.Error(), "job")
		})
	}
	// What is told to be typed works.
	require.Len(t, readString(t, open, Options{Gap: 13}).Outlines, 1)
}
