package toolpath_test

import (
	"errors"
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
		"name: X\nknive_up: M5\n":            `line 2: there is no field "knive_up"; did you mean "knife_up"?`,
		"tools: {outlin: 3}\n":               `line 1: there is no field "outlin"; did you mean "outline"?`,
		"zebra: 1\n":                         `line 1: there is no field "zebra"`,
		"feed: 1\nfeed: 2\n":                 "line 2: feed is written twice",
		"feed: fast\n":                       `line 1: feed does not take "fast"; it takes a number`,
		"once: 3\n":                          `once does not take "3"; it takes true or false`,
		"header: G17\n":                      `header does not take "G17"; it takes a list of lines`,
		"tools: 3\n":                         `tools does not take "3"; it takes fields of its own`,
		"decimals: 2.5\n":                    `line 1: decimals does not take "2.5"; it takes a whole number`,
		"tools: {hole: 1.5}\n":               `hole does not take "1.5"`,
		"feed: -3\n":                         "line 1: feed is -3; it is from 1 to 1000000",
		"name: X\nfeed: 0\n":                 "line 2: feed is 0",
		"rapid: 0\n":                         "rapid is 0",
		"acceleration: 0\n":                  "acceleration is 0",
		"turn_speed: 0\n":                    "turn_speed is 0",
		"corner_angle: 0\n":                  "corner_angle is 0",
		"along: 0\n":                         "along is 0",
		"clearance: 0\n":                     "never be raised",
		"plotter_units: 0\n":                 "plotter_units is 0; it is from 1 to 10000",
		"tools: {mark: 0}\n":                 "mark is 0",
		"kind: wheel\nwheel_radius: 0\n":     "wheel_radius is 0",
		"units: in\ndecimals: 0\n":           "decimals is 0",
		"feed: [1\n":                         "line",
		"feed: .nan\n":                       "feed is NaN",
		"arc_tolerance: 0.02\ndecimals: 2\n": "decimals is 2; arcs (arc_tolerance) need 3 or more",
		"pen_down: M7\n":                     "pen_down and pen_up go together",
		"kind: laser\n":                      "tangential, drag or wheel",
		"units: cm\n":                        "mm or in",
		"origin: middle\n":                   "lower-left",
		"turn_axis: X\n":                     "turn_axis",
		"line_ending: cr\n":                  "lf or crlf",
		"decimals: 9\n":                      "decimals",
		"header: [\"a\\nb\"]\n":              "controller does not read",
		"a: &a [1]\nb: *a\n":                 "anchors",
		"- 1\n":                              "a profile is a list of fields",
		strings.Repeat("# x\n", 20000):       "longer than 64 KiB",
		"wheel_depth: 40\nkind: wheel\n":     "wheel_depth",
	} {
		_, err := toolpath.ReadMachine(strings.NewReader(in))
		assert.ErrorContains(t, err, says, "%.40q", in)
		if err != nil {
			assert.NotRegexp(t, "Go |struct|unmarshal|toolpath", err.Error())
		}
	}
	_, err := toolpath.ReadMachine(iotest.ErrReader(errors.New("torn cable")))
	assert.ErrorContains(t, err, "torn cable")
}

// A written 0 is 0, and stays so when the work is planned.
func TestReadMachineKeepsZeros(t *testing.T) {
	m, err := toolpath.ReadMachine(strings.NewReader(
		"kind: drag\ndecimals: 0\nblade_offset: 0\nlift_time: 0\npause_time: 0\njoin: 0\nclearance: 0\nknife_up: M5\n"))
	require.NoError(t, err)
	m = plan(t, beside(40, 3), m).Machine
	assert.Zero(t, m.Decimals)
	assert.Zero(t, m.BladeOffset+m.LiftTime+m.PauseTime+m.Join+m.Clearance)
	assert.Equal(t, 20000.0, m.Feed)
}

// The sample profile names every field once, and says what its default is.
func TestSampleProfile(t *testing.T) {
	raw := toolpath.SampleProfile()
	m, err := toolpath.ReadMachine(strings.NewReader(raw))
	require.NoError(t, err)
	m.Header, m.Footer, m.Advance = nil, nil, nil // empty lists
	assert.Equal(t, toolpath.Machine{}.Defaults(), m)
	typ := reflect.TypeFor[toolpath.Machine]()
	for i := range typ.NumField() {
		if name := typ.Field(i).Tag.Get("yaml"); name != "" {
			assert.Regexp(t, "(?m)^(# )?"+name+":", raw)
		}
	}
	for kind, fields := range map[string]string{"drag": "blade", "wheel": "wheel"} {
		full := strings.NewReplacer("kind: tangential", "kind: "+kind, "# "+fields, fields).Replace(raw)
		m, err := toolpath.ReadMachine(strings.NewReader(full))
		require.NoError(t, err)
		want := toolpath.Machine{Kind: toolpath.Kind(kind)}.Defaults()
		assert.Equal(t, []float64{want.BladeOffset, want.WheelRadius, want.WheelDepth}, []float64{m.BladeOffset, m.WheelRadius, m.WheelDepth})
	}
}
