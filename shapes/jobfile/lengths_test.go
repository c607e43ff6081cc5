package jobfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// A length on which nothing can lie, or one without a unit that is shorter than
// the fabric is wide, is doubted, and metres are
// suggested where it carries no unit; the job is read all the same.
func TestShortLengthsAreDoubted(t *testing.T) {
	const roll = "      - {roll: R1, length: 42 m}"
	tests := []struct{ name, old, new, want string }{
		{"roll, metres meant", roll, "      - {roll: R1, length: 12}",
			`job.yaml:10:28: roll "R1" is 12 mm long, no more than two end allowances of 20 mm: nothing can lie on it; is that metres? Then write 12 m`},
		{"roll shorter than wide", roll, "      - {roll: R1, length: 250}",
			`job.yaml:10:28: roll "R1" is 250 mm long, less than its fabric is wide; is that metres? Then write 250 m`},
		{"with its unit", roll, "      - {roll: R1, length: 80 cm}", ""},
		{"useless with its unit", roll, "      - {roll: R1, length: 40 mm}",
			`job.yaml:10:28: roll "R1" is 40 mm long, no more than two end allowances of 20 mm: nothing can lie on it`},
		{"narrow roll", roll, "      - {roll: R1, length: 800, width: 600}", ""},
		{"remnant", roll, "      - {roll: R1, length: 800, remnant: true}", ""},
		{"small remnant", roll, "      - {roll: R1, length: 60, remnant: true}",
			`job.yaml:10:28: roll "R1" is 60 mm long, less than a tenth of its width; is that metres? Then write 60 m`},
		{"job in metres", "units: mm", "units: m", ""},
		{"delivery length", "    selvedge: 15", "    selvedge: 15\n    delivery_length: 90",
			`job.yaml:9:22: a roll of "CSM 450" as delivered is 90 mm long, less than its fabric is wide; is that metres? Then write 90 m`},
		{"delivery length of a width", "    selvedge: 15", "    selvedge: 15\n    buying: {widths: [{width: 1000, delivery_length: 90}]}",
			`job.yaml:9:54: a roll of "CSM 450", 1000 mm wide, as delivered is 90 mm long, less than its fabric is wide; is that metres? Then write 90 m`},
		{"open order", "    selvedge: 15", "    selvedge: 15\n    buying: {orders: [{order: PO-1, length: 30}]}",
			`job.yaml:9:45: order "PO-1" is 30 mm long, no more than two end allowances of 20 mm: nothing can lie on it; is that metres? Then write 30 m`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(base, tt.old, tt.new, 1)
			require.NotEqual(t, base, text)
			if tt.name == "job in metres" {
				text = strings.NewReplacer("width: 1270", "width: 1270 mm", "selvedge: 15", "selvedge: 15 mm", "width: 600", "width: 600 mm", "gap: 3", "gap: 3 mm", "length: 42 m", "length: 42").Replace(text)
			}
			job, problems := readText(text)
			require.NotNil(t, job, problems)
			assert.Equal(t, tt.want, problems.Error())
			for _, p := range problems {
				assert.Equal(t, shapes.Doubt, p.Severity)
			}
		})
	}
}
