package paper_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"plyroom/export/paper"
)

// Each kind of resin gets its own words, and no other's.
func TestCareOf(t *testing.T) {
	for _, c := range []struct {
		resins       []string
		says, silent []string
	}{
		{[]string{"polyester", "vinyl ester", "Vinylester 411", "epoxy vinyl ester", "UP resin", "VE-2"},
			[]string{"initiator and accelerator", "explode", "styrene", "initiator %"}, []string{"hardener", "sensitise"}},
		{[]string{"epoxy", "EPOXY L", "Epoxidharz", "époxy", "EP 4"},
			[]string{"hardener", "mix ratio", "data sheet", "pot", "sensitise the skin", "gloves", "eye protection"},
			[]string{"styrene", "nitiator", "accelerator"}},
		{[]string{"", "phenolic", "upside", "Brand 7"},
			[]string{"data sheet", "gloves", "eye protection", "Where it takes initiator"}, []string{"styrene", "hardener", "initiator %", "epoxy"}},
	} {
		for _, resin := range c.resins {
			care := paper.CareOf(resin)
			text := strings.Join(append(care.Cautions, care.Blanks...), "\n")
			for _, s := range c.says {
				assert.Contains(t, text, s, resin)
			}
			for _, s := range c.silent {
				assert.NotContains(t, text, s, resin)
			}
		}
	}
}
