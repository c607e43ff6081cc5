package toolpath_test

import (
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/toolpath"
)

func TestReadMachine(t *testing.T) {
	m, err := toolpath.ReadMachine(strings.NewReader(`
name: Bench cutter
kind: drag
units: in
origin: upper-right
swap_axes: true
offset_x: 12.5
feed: 12000
corner_angle: 25
blade_offset: 0.5
knife_down: M3
knife_up: M5
header: ["G17", "G40"]
footer: [M5]
tools: {outline: 3, mark: 9}
line_ending: crlf
once: true
`))
	require.NoError(t, err)
	want := toolpath.Machine{
		Name: "Bench cutter", Kind: toolpath.Drag, Units: toolpath.Inches, Origin: toolpath.UpperRight, SwapAxes: true, OffsetX: 12.5,
		Feed: 12000, CornerAngle: 25, BladeOffset: 0.5, KnifeDown: "M3", KnifeUp: "M5", Header: []string{"G17", "G40"}, Footer: []string{"M5"},
		Tools: toolpath.Tools{Outline: 3, Mark: 9}, LineEnding: "crlf", Once: true,
	}.Defaults()
	assert.Equal(t, want, m)
	assert.Equal(t, 4, m.Decimals, "inches")
	assert.Equal(t, 1, m.Tools.Hole)
}

func TestReadMachineEmptyIsAllDefaults(t *testing.T) {
	for _, s := range []string{"", "# nothing\n"} {
		m, err := toolpath.ReadMachine(strings.NewReader(s))
		require.NoError(t, err)
		assert.Equal(t, toolpath.Machine{}.Defaults(), m)
		assert.NoError(t, m.Validate())
	}
}

func TestReadMachineRefuses(t *testing.T) {
	for in, says := range map[string]string{
		"knive_up: M5\n":                 "knive_up",
		"feed: 1\nfeed: 2\n":             "feed",
		"feed: fast\n":                   "[1:7]",
		"feed: -3\n":                     "feed is -3",
		"feed: .nan\n":                   "feed is NaN",
		"kind: laser\n":                  "tangential, drag or wheel",
		"units: cm\n":                    "mm or in",
		"origin: middle\n":               "lower-left",
		"turn_axis: X\n":                 "turn_axis",
		"line_ending: cr\n":              "lf or crlf",
		"decimals: 9\n":                  "decimals",
		"header: [\"a\\nb\"]\n":          "controller does not read",
		"a: &a [1]\nb: *a\n":             "anchors",
		"- 1\n":                          "machine profile",
		strings.Repeat("# x\n", 20000):   "longer than 64 KiB",
		"wheel_depth: 40\nkind: wheel\n": "wheel_depth",
	} {
		_, err := toolpath.ReadMachine(strings.NewReader(in))
		assert.ErrorContains(t, err, says, "%.40q", in)
	}
	_, err := toolpath.ReadMachine(iotest.ErrReader(errors.New("torn cable")))
	assert.ErrorContains(t, err, "torn cable")
}

// The sample profile names every field once, and says what its default is.
func TestSampleProfile(t *testing.T) {
	raw, err := os.ReadFile("testdata/machine.yaml")
	require.NoError(t, err)
	m, err := toolpath.ReadMachine(strings.NewReader(string(raw)))
	require.NoError(t, err)
	m.Header, m.Footer, m.Advance = nil, nil, nil // empty lists
	assert.Equal(t, toolpath.Machine{}.Defaults(), m)
	typ := reflect.TypeFor[toolpath.Machine]()
	for i := range typ.NumField() {
		assert.Contains(t, string(raw), "\n"+typ.Field(i).Tag.Get("yaml")+":")
	}
}
