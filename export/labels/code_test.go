package labels_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/internal/sample"
	"plyroom/export/labels"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

func kits(t *testing.T, opt sample.Options) []kit.Kit {
	t.Helper()
	ks, err := kit.Build(sample.Record(opt))
	require.NoError(t, err)
	return ks
}

func TestCode(t *testing.T) {
	k := &kits(t, sample.Options{})[1]
	assert.Equal(t, "PLYROOM1|Hub fairing, 9 kW turbine|C|Upper shell|2|1|U01|1|CSM 450|2231-B|"+k.Lines[0].Place.Layout, labels.Code(k, &k.Lines[0]))
	assert.Equal(t, "PLYROOM1BAG|Hub fairing, 9 kW turbine|C|Upper shell|2|2|23", labels.BagCode(k, &k.Bags[1]))
	k.Lines[0].Place = nil
	assert.True(t, strings.HasSuffix(labels.Code(k, &k.Lines[0]), "|CSM 450||"), "no lot, no layout")
}

// codeOf is the code of a ply of this name.
func codeOf(name string) string {
	k := &kit.Kit{Job: "j", Part: "p", Unit: 1}
	return labels.Code(k, &kit.Line{Demand: nest.Demand{Ply: name}, Fabric: &shapes.Fabric{}})
}

func TestCodeEscapes(t *testing.T) {
	for in, want := range map[string]string{
		"a|b":                   "a%7Cb",
		"50 % off":              "50 %25 off",
		"a\nb\tc":               "a%0Ab%09c",
		"a\u0085b":              "a%C2%85b",
		"Ωmega Жук":             "Ωmega Жук",
		"日本語":                   "日本語",
		"a\xffb":                "a\uFFFDb",
		strings.Repeat("x", 48): strings.Repeat("x", 48),
		strings.Repeat("x", 49): strings.Repeat("x", 45) + "…",
		strings.Repeat("ж", 30): strings.Repeat("ж", 22) + "…",
		strings.Repeat("|", 17): strings.Repeat("%7C", 15) + "…",
	} {
		assert.Equal(t, want, strings.Split(codeOf(in), "|")[6], "%q", in)
	}
}

// Every code has its eleven fields and stays within what a tag can show.
func TestCodeOfAnyName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := codeOf(rapid.String().Draw(t, "ply"))
		if f := strings.Split(c, "|"); len(f) != 11 || len(f[6]) > 48 || !utf8.ValidString(c) {
			t.Fatalf("%q", c)
		}
	})
}
