package jobfile

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// base is a good job that each case below spoils in one place. Its lines are
// counted in the expected messages.
const base = `job: J
units: mm
fabrics:
  - name: CSM 450
    construction: mat
    areal_mass: 450
    width: 1270
    selvedge: 15
    rolls:
      - {roll: R1, length: 42 m}
  - name: BX 600
    construction: biaxial
    layers: [{angle: 45, mass: 300}, {angle: -45, mass: 300}]
    width: 1270
  - name: UD 300
    construction: unidirectional
    areal_mass: 300
    width: 600
parts:
  - part: Upper shell
    outlines: upper-shell.dxf
    plies:
      - {order: 1, ply: U1, outline: SKIN, fabric: CSM 450}
      - {order: 2, ply: U2, outline: CHEEK, fabric: BX 600, direction: 0, count: 2}
cutting: {gap: 3}
laminating: {resin: epoxy}
`

func TestBaseIsGood(t *testing.T) {
	_, problems := readText(base)
	require.Empty(t, problems)
}

func TestMistakes(t *testing.T) {
	const (
		u1 = "- {order: 1, ply: U1, outline: SKIN, fabric: CSM 450}"
		u2 = "- {order: 2, ply: U2, outline: CHEEK, fabric: BX 600, direction: 0, count: 2}"
	)
	tests := []struct {
		name     string
		old, new string
		want     []string
	}{
		// Keys.
		{"unknown key", "selvedge: 15", "selvage: 15", []string{`job.yaml:8:5: unknown key "selvage"; did you mean "selvedge"?`}},
		{"unknown key, none near", "cutting: {gap: 3}", "cutting: {gap: 3, xyzzy: 4}", []string{`job.yaml:25:19: unknown key "xyzzy"; known: "gap", "trim", "angle_tolerance", "end_allowance", "table", "layers", "spreads", "min_remnant", "chord_tolerance", "ink", "one_lot_per_unit", "keep_together", "spread_policy", "rates"`}},
		{"duplicate key", "    width: 600", "    width: 600\n    width: 610", []string{`job.yaml:19:5: key "width" stands twice, first on line 18`}},
		{"missing key", "    width: 600\n", "", []string{`job.yaml:15:5: the fabric lacks "width"`}},
		{"missing keys of a ply", u1, "- {ply: U1}", []string{
			`job.yaml:23:9: Upper shell, U1: the ply lacks "order"`,
			`job.yaml:23:9: Upper shell, U1: the ply lacks "outline"`,
			`job.yaml:23:9: Upper shell, U1: the ply lacks "fabric"`,
		}},
		{"no value", "    areal_mass: 300", "    areal_mass:", []string{`job.yaml:17:5: areal_mass has no value`}},
		{"key with control characters", "job: J", "job: J\n\"a\\nb\\e[2J\": 1", []string{`job.yaml:2:1: unknown key "a\nb\x1b[2J"; known: "job", "revision", "units", "date", "currency", "fabrics", "parts", "cutting", "laminating"`}},

		// Types.
		{"a list for a text", "job: J", "job: [J]", []string{`job.yaml:1:6: job: want a text, found a list`}},
		{"a text for a mapping", "cutting: {gap: 3}", "cutting: fast", []string{`job.yaml:25:10: a cutting is a mapping, found the text "fast"`}},
		{"a text for a list", "    rolls:\n      - {roll: R1, length: 42 m}", "    rolls: R1", []string{`job.yaml:9:12: rolls: want a list, found the text "R1"`}},
		{"a mapping for a figure", "width: 600", "width: {mm: 600}", []string{`job.yaml:18:12: width: want a length, found a mapping`}},
		{"a list for an areal mass", "areal_mass: 450", "areal_mass: [450]", []string{`job.yaml:6:17: areal_mass: want an areal mass, found a list`}},
		{"a word for a figure", "width: 600", "width: wide", []string{`job.yaml:18:12: width: "wide" is not a length; it does not begin with a figure`}},
		{"a fraction for a count", "count: 2", "count: 2.5", []string{`job.yaml:24:82: Upper shell, U2: count: "2.5" is not a whole number from 1 to 100000`}},
		{"a word for true or false", "cutting: {gap: 3}", "cutting: {ink: perhaps}", []string{`job.yaml:25:16: ink: want true or false, found the text "perhaps"`}},
		{"an empty text", "job: J", `job: " "`, []string{`job.yaml:1:6: job is empty`}},
		{"a control character", "job: J", `job: "J\e[1m"`, []string{`job.yaml:1:6: job: "J\x1b[1m" holds a control character`}},
		{"a name of two lines", "job: J", `job: "J\nK"`, []string{`job.yaml:1:6: job: "J\nK" holds a control character`}},
		{"a tab in a name", "part: Upper shell", `part: "Upper\tshell"`, []string{`job.yaml:20:11: part: "Upper\tshell" holds a control character`}},
		{"a line separator in a name", "job: J", `job: "J\u2028K"`, []string{`job.yaml:1:6: job: "J\u2028K" holds a line break`}},
		{"an override in a name", "job: J", `job: "J\u202eK"`, []string{`job.yaml:1:6: job: "J\u202eK" holds a character that turns the direction of writing; names must read on paper as they are stored`}},
		{"an isolate in a name", "job: J", `job: "J\u2067K"`, []string{`job.yaml:1:6: job: "J\u2067K" holds a character that turns the direction of writing; names must read on paper as they are stored`}},
		{"a long name", "job: J", "job: " + strings.Repeat("J", 201), []string{`job.yaml:1:6: job: "` + strings.Repeat("J", 60) + `…" is longer than 200 bytes`}},

		// Figures.
		{"negative", "width: 600", "width: -600", []string{`job.yaml:18:12: width: "-600" is out of range; take more than 0 and at most 20000 mm`}},
		{"zero", "width: 600", "width: 0", []string{`job.yaml:18:12: width: "0" is out of range; take more than 0 and at most 20000 mm`}},
		{"not a number", "width: 600", "width: .nan", []string{`job.yaml:18:12: width: ".nan" is not a length; it does not begin with a figure`}},
		{"infinite", "width: 600", "width: .inf", []string{`job.yaml:18:12: width: ".inf" is not a length; it does not begin with a figure`}},
		{"huge", "width: 600", "width: 1e9", []string{`job.yaml:18:12: width: "1e9" is out of range; take more than 0 and at most 20000 mm`}},
		{"the wrong unit in mind", "width: 600", "width: 600 m", []string{`job.yaml:18:12: width: "600 m" is out of range; take more than 0 and at most 20000 mm`}},
		{"past all figures", "width: 600", "width: 1e999", []string{`job.yaml:18:12: width: "1e999" is not a length; the figure is too large`}},
		{"decimal comma", "width: 600", `width: "600,5"`, []string{`job.yaml:18:12: width: "600,5" is not a length; decimals are written with a point`}},
		{"share past 1", "areal_mass: 450", "areal_mass: 450\n    glass_content: 30", []string{`job.yaml:7:20: glass_content: "30" is out of range; take more than 0 and less than 1`}},
		{"share with a unit", "areal_mass: 450", "areal_mass: 450\n    glass_content: 30 %", []string{`job.yaml:7:20: glass_content: "30 %" is not a number`}},
		{"selvedge eats the width", "selvedge: 15", "selvedge: 635", []string{`job.yaml:8:15: two selvedges of 635 mm leave nothing of a width of 1270 mm`}},
		{"selvedge eats a roll", "length: 42 m}", "length: 42 m, width: 30}", []string{`job.yaml:10:41: two selvedges of 15 mm leave nothing of a width of 30 mm`}},

		// Buying.
		{"rolls of no length", "selvedge: 15", "buying: {sold_by: roll}", []string{`job.yaml:8:23: sold by the roll, but the length of a roll is not stated; state the fabric's "delivery_length"`}},
		{"more reserved than there", "length: 42 m}", "length: 42 m, reserved: 43 m}", []string{`job.yaml:10:44: 43000 mm are reserved of a roll of 42000 mm`}},
		{"more reserved than ordered", "selvedge: 15", "buying: {orders: [{order: A, length: 1 m, reserved: 2 m}]}", []string{`job.yaml:8:57: 2000 mm are reserved of an order of 1000 mm`}},
		{"break without price", "selvedge: 15", "buying: {price_breaks: [{from: 2}]}", []string{`job.yaml:8:29: the price break lacks "price"`}},

		// Dates, times of day and out-life.
		{"no date", "job: J", "job: J\ndate: 30.11.2026", []string{`job.yaml:2:7: date: "30.11.2026" is not a date such as 2027-03-01`}},
		{"no such day", "job: J", "job: J\ndate: 2026-02-30", []string{`job.yaml:2:7: date: "2026-02-30" is not a date such as 2027-03-01`}},
		{"expiry", "length: 42 m}", "length: 42 m, expires: soon}", []string{`job.yaml:10:43: expires: "soon" is not a date such as 2027-03-01`}},
		{"out-time without out-life", "length: 42 m}", "length: 42 m, out_used: 3 h}", []string{`job.yaml:10:44: out_used is for fabrics with an out-life; state the fabric's "out_life"`}},
		{"thaw without out-life", "length: 42 m}", "length: 42 m, thaw: 3 h}", []string{`job.yaml:10:40: thaw is for fabrics with an out-life; state the fabric's "out_life"`}},
		{"out-life of nothing", "selvedge: 15", "out_life: 0", []string{`job.yaml:8:15: out_life: "0" is out of range; take more than 0 and at most 1000000 min`}},
		{"no time of day", "{resin: epoxy}", "{shift: {start: 7}}", []string{`job.yaml:26:29: start: "7" is not a time of day such as 07:30`}},
		{"past midnight", "{resin: epoxy}", "{shift: {cut_from: 24:00}}", []string{`job.yaml:26:32: cut_from: "24:00" is not a time of day such as 07:30`}},
		{"no crew", "{resin: epoxy}", "{shift: {crews: 0}}", []string{`job.yaml:26:29: crews: "0" is out of range; take 1 or more and at most 1000`}},
		{"set of no thickness", "{resin: epoxy}", "{set_thickness: 0}", []string{`job.yaml:26:29: set_thickness: "0" is out of range; take more than 0 and at most 10000 mm`}},

		// Stops.
		{"stop at no order", "    plies:", "    stops: [1, 3]\n    plies:", []string{`job.yaml:22:16: stops: the part has no order 3; a stop follows an order of the lay-up`}},
		{"stop twice", "    plies:", "    stops: [1, {after: 1, reason: core}]\n    plies:", []string{`job.yaml:22:24: the stop after order 1 stands twice, first on line 22`}},
		{"stop without place", "    plies:", "    stops: [{reason: core}]\n    plies:", []string{`job.yaml:22:13: the stop lacks "after"`}},
		{"stop at a word", "    plies:", "    stops: [gel]\n    plies:", []string{`job.yaml:22:13: stops: "gel" is not a whole number from 1 to 100000`}},

		// Units.
		{"unknown unit", "width: 600", "width: 600 mmm", []string{`job.yaml:18:12: width: "mmm" is no unit of length; did you mean "mm"?`}},
		{"unit of another kind", "width: 600", "width: 600 kg", []string{`job.yaml:18:12: width: "kg" is no unit of length; known: "mm", "cm", "m", "in", "ft", "yd"`}},
		{"unknown unit of the file", "units: mm", "units: metre", []string{`job.yaml:2:8: units: unknown word "metre"; known: "mm", "cm", "m", "in", "ft", "yd"`}},
		{"areal mass", "areal_mass: 450", "areal_mass: 450 g/m", []string{`job.yaml:6:17: areal_mass: "g/m" is no unit of areal mass; did you mean "g/m2"?`}},

		// Fabrics.
		{"unknown construction", "construction: mat", "construction: matt", []string{`job.yaml:5:19: construction: unknown word "matt"; did you mean "mat"?`}},
		{"fabric twice", "name: UD 300", "name: CSM 450", []string{`job.yaml:15:11: fabric "CSM 450" stands twice, first on line 4`}},
		{"mat without mass", "    areal_mass: 450\n", "", []string{`job.yaml:4:5: the fabric lacks "areal_mass"`}},
		{"unidirectional without mass", "    areal_mass: 300\n", "", []string{`job.yaml:15:5: the fabric lacks "areal_mass"; a unidirectional states it, or its layers`}},
		{"mat of no mass", "areal_mass: 450", "areal_mass: 0", []string{`job.yaml:6:17: areal_mass: "0" is out of range; only film, core and weaves such as peel ply have no fibre mass`}},
		{"stitched without layers", "    layers: [{angle: 45, mass: 300}, {angle: -45, mass: 300}]\n", "    areal_mass: 600\n", []string{`job.yaml:11:5: the fabric lacks "layers"; a biaxial fabric states angle and mass of each, bottom to top`}},
		{"layers of a mat", "selvedge: 15", "layers: [{angle: 0, mass: 450}]", []string{`job.yaml:8:13: layers are for stitched fabrics, not for construction mat`}},
		{"too few layers", ", {angle: -45, mass: 300}]", "]", []string{`job.yaml:13:13: a biaxial fabric has 2 layers, found 1`}},
		{"no layers", "[{angle: 45, mass: 300}, {angle: -45, mass: 300}]", "[]", []string{
			`job.yaml:13:13: layers is empty`,
		}},
		{"layers disagree", "    width: 1270\n  - name: UD 300", "    width: 1270\n    areal_mass: 610\n  - name: UD 300", []string{`job.yaml:15:17: areal_mass is 610 g/m2 but the layers add up to 600; they must agree within 1 %`}},
		{"layer angle", "{angle: 45,", "{angle: 145,", []string{`job.yaml:13:22: angle: "145" is out of range; take -90 or more and at most 90 deg`}},
		{"balanced mat", "selvedge: 15", "balanced: true", []string{`job.yaml:8:15: balanced is for plain and twill weaves, not for construction mat`}},
		{"diagonal of a mat", "selvedge: 15", "diagonal: free", []string{`job.yaml:8:15: diagonal is for twill weaves, not for construction mat`}},
		{"layer order of a mat", "selvedge: 15", "layer_order: matters", []string{`job.yaml:8:18: layer_order is for stitched fabrics of several layers, not for construction mat`}},
		{"faces", "selvedge: 15", "faces: both", []string{`job.yaml:8:12: faces: unknown word "both"; known: "same", "different"`}},
		{"warp positions without 0", "    width: 600", "    width: 600\n    warp_positions: [90, 270]", []string{`job.yaml:19:21: warp_positions leave out 0, the asked direction itself`}},
		{"warp positions of a mat", "selvedge: 15", "warp_positions: [0]", []string{`job.yaml:8:21: a mat has no direction; leave out "warp_positions"`}},
		{"film with fibre", "construction: mat", "construction: film", []string{`job.yaml:6:17: a film has no fibre; leave out "areal_mass"`}},

		// Rolls and prices.
		{"roll twice", "- {roll: R1, length: 42 m}", "- {roll: R1}\n      - {roll: R1}", []string{`job.yaml:11:16: roll "R1" stands twice, first on line 10`}},
		{"length and mass", "length: 42 m}", "length: 42 m, mass: 3 kg}", []string{`job.yaml:10:40: a roll states length or mass, not both`}},
		{"mass without areal mass", "construction: mat\n    areal_mass: 450\n    width: 1270\n    selvedge: 15\n    rolls:\n      - {roll: R1, length: 42 m}", "construction: core\n    width: 1270\n    rolls:\n      - {roll: R1, mass: 4}", []string{`job.yaml:8:26: mass tells no length, since fabric "CSM 450" has no areal mass; state "length"`}},
		{"flaw of no length", "length: 42 m}", "length: 42 m, flaws: [{from: 3 m, to: 3000}]}", []string{`job.yaml:10:58: the flaw has no length: it begins and ends at 3000 mm`}},
		{"flaw backwards", "length: 42 m}", "length: 42 m, flaws: [{from: 3 m, to: 2 m}]}", []string{`job.yaml:10:58: the flaw ends at 2000 mm, before it begins at 3000 mm`}},
		{"flaw past the end", "length: 42 m}", "length: 42 m, flaws: [{from: 3 m, to: 50 m}]}", []string{`job.yaml:10:58: the flaw ends at 50000 mm, past the end of the roll at 42000 mm`}},
		{"price per what", "selvedge: 15", "price: 2.10 per mile", []string{`job.yaml:8:12: price: unknown word "mile"; known: "m2", "kg", "m", "roll"`}},
		{"price of nothing", "selvedge: 15", "price: {per: kg}", []string{`job.yaml:8:12: the price lacks "amount"`}},
		{"price in commas", "selvedge: 15", `price: "2,10"`, []string{`job.yaml:8:12: price: "2,10" is not a number; decimals are written with a point`}},
		{"resin by the roll", "resin: epoxy", "resin_price: 3 per roll", []string{`job.yaml:26:27: resin_price is paid per kg, not per roll`}},

		// Parts and plies.
		{"unknown outline", "outline: SKIN", "outline: SKINN", []string{`job.yaml:23:38: Upper shell, U1: unknown outline "SKINN"; did you mean "SKIN"?`}},
		{"unknown fabric", "fabric: BX 600", "fabric: bx-600", []string{`job.yaml:24:53: Upper shell, U2: unknown fabric "bx-600"; did you mean "BX 600"?`}},
		{"ply twice", "ply: U2", "ply: U1", []string{`job.yaml:24:25: Upper shell, U1: ply "U1" stands twice in this part, first on line 23`}},
		{"opposite hand", "count: 2", "count: 2, opposite_hand: 3", []string{`job.yaml:24:100: Upper shell, U2: opposite_hand is 3 but count only 2; count is all pieces, both hands`}},
		{"no direction", ", direction: 0", "", []string{`job.yaml:24:9: Upper shell, U2: the ply lacks "direction"; fabric "BX 600" has one`}},
		{"direction", "direction: 0", "direction: 720", []string{`job.yaml:24:72: Upper shell, U2: direction: "720" is out of range; take -360 or more and at most 360 deg`}},
		{"tolerance", "direction: 0", "direction: 0, tolerance: -3", []string{`job.yaml:24:86: Upper shell, U2: tolerance: "-3" is out of range; take 0 or more and at most 90 deg`}},
		{"order 0", "order: 1", "order: 0", []string{`job.yaml:23:17: Upper shell, U1: order: "0" is out of range; take 1 or more and at most 100000`}},
		{"no units", "    outlines: upper", "    units: 0\n    outlines: upper", []string{`job.yaml:21:12: units: "0" is out of range; take 1 or more and at most 100000`}},
		{"no plies", "    plies:\n      " + u1 + "\n      " + u2 + "\n", "", []string{`job.yaml:20:5: the part lacks "plies"; list them, or name a CSV file as "ply_table"`}},
		{"empty plies", "    plies:\n      " + u1 + "\n      " + u2 + "\n", "    plies: []\n", []string{`job.yaml:22:12: plies is empty`}},
		{"plies and table", "    plies:", "    ply_table: upper.csv\n    plies:", []string{`job.yaml:22:16: the part states both plies and ply_table; keep one of them`}},
		{"part twice", "cutting: {gap: 3}", "  - {part: Upper shell, outlines: upper-shell.dxf, plies: [{order: 1, ply: A, outline: SKIN, fabric: CSM 450}]}", []string{`job.yaml:25:12: part "Upper shell" stands twice, first on line 20`}},
		{"more pieces than a room can handle", "    outlines: upper", "    units: 70000\n    outlines: upper", []string{`job.yaml:25:9: Upper shell, U2: with this ply the job has more than 200000 pieces`}},
		{"missing drawing", "outlines: upper-shell.dxf", "outlines: uper-shell.dxf", []string{`job.yaml:21:15: drawing "uper-shell.dxf" cannot be read: there is no such file; did you mean "upper-shell.dxf"?`}},
		{"drawing twice", "outlines: upper-shell.dxf", "outlines: [upper-shell.dxf, ./upper-shell.dxf]", []string{`job.yaml:21:33: drawing "upper-shell.dxf" stands twice, first on line 21`}},
		{"faulty drawing", "outlines: upper-shell.dxf", "outlines: faulty.dxf", []string{`faulty.dxf:7: LINE 2F: the outline is open by 12 mm`}},
		{"empty drawing", "outlines: upper-shell.dxf", "outlines: empty.dxf", []string{`job.yaml:21:15: drawing "empty.dxf" holds no outline`}},
		{"outline in two drawings", "outlines: upper-shell.dxf", "outlines: [upper-shell.dxf, other.svg]", []string{`job.yaml:23:38: Upper shell, U1: 2 outlines of this part are called "SKIN": "upper-shell.dxf", "other.svg"`}},
		{"drawing of another revision", "outlines: upper-shell.dxf", "revision: C\n    outlines: {file: upper-shell.dxf, revision: B}", []string{`job.yaml:22:49: the drawing is of revision "B", the part of revision "C"; revisions are not mixed`}},
		{"name source", "outlines: upper-shell.dxf", "outlines: {file: upper-shell.dxf, names: [txt]}", []string{`job.yaml:21:47: names: unknown word "txt"; did you mean "text"?`}},
		{"view", "    outlines: upper-shell.dxf", "    outlines: upper-shell.dxf\n    viewed_from: tool side", []string{`job.yaml:22:18: viewed_from: unknown word "tool side"; did you mean "tool_side"?`}},

		// Splits.
		{"lapped unidirectional", "fabric: BX 600, direction: 0", "fabric: UD 300, direction: 0, split: {joint: lap}", []string{`job.yaml:24:90: Upper shell, U2: a unidirectional ply is butted along the fibre, never lapped; write "butt"`}},
		{"butt with overlap", "direction: 0", "direction: 0, split: {joint: butt, overlap: 5}", []string{`job.yaml:24:105: Upper shell, U2: a butt joint has no overlap`}},
		{"lap of nothing", "direction: 0", "direction: 0, split: lap 0", []string{`job.yaml:24:82: Upper shell, U2: a lap has an overlap of more than 0 mm; write "butt" for none`}},
		{"split word", "direction: 0", "direction: 0, split: lapp", []string{`job.yaml:24:82: Upper shell, U2: split: unknown word "lapp"; did you mean "lap"?`}},
		{"seams", "direction: 0", "direction: 0, split: {seams: [500, 400]}", []string{`job.yaml:24:90: Upper shell, U2: seams are listed in rising order, each once`}},

		// Rules.
		{"unknown fabric in a spread", "cutting: {gap: 3}", "cutting: {layers: 2, spreads: [[CSM 450, BX 60]]}", []string{`job.yaml:25:42: spreads: unknown fabric "BX 60"; did you mean "BX 600"?`}},
		{"spread of one", "cutting: {gap: 3}", "cutting: {layers: 2, spreads: [[CSM 450]]}", []string{`job.yaml:25:32: spreads: want 2 or more, found 1`}},
		{"kept together, no such part", "cutting: {gap: 3}", "cutting: {keep_together: [Upper shel]}", []string{`job.yaml:25:27: keep_together: unknown part "Upper shel"; did you mean "Upper shell"?`}},
		{"kept together twice", "cutting: {gap: 3}", "cutting: {keep_together: [Upper shell, Upper shell]}", []string{`job.yaml:25:40: keep_together: part "Upper shell" stands twice`}},
		{"all and some", "cutting: {gap: 3}", "cutting: {keep_together: [Upper shell, all]}", []string{`job.yaml:25:40: keep_together: all stands alone, not beside parts`}},
		{"shift ends before it begins", "laminating: {resin: epoxy}", "laminating: {shift: {start: 22:00, end: 06:00}}", []string{`job.yaml:26:41: the shift ends before it begins; a shift past midnight cannot be given; state no end`}},
		{"days without end", "laminating: {resin: epoxy}", "laminating: {shift: {days: [mon]}}", []string{`job.yaml:26:28: days without end: work that has no end of day knows no days off; state end, such as end: 16:00`}},
		{"no such day", "laminating: {resin: epoxy}", "laminating: {shift: {end: 16:00, days: [mon, thur]}}", []string{`job.yaml:26:46: days: unknown word "thur"; did you mean "thu"?`}},
		{"table too short", "cutting: {gap: 3}", "cutting: {end_allowance: 30, table: {length: 60, width: 1600}}", []string{`job.yaml:25:46: two end allowances of 30 mm leave nothing of a table of 60 mm`}},
		{"table too narrow", "cutting: {gap: 3}", "cutting: {table: {length: 6 m, width: 1000}}", []string{
			`job.yaml:4:11: fabric "CSM 450" is 1270 mm wide, the table only 1000 mm`,
			`job.yaml:11:11: fabric "BX 600" is 1270 mm wide, the table only 1000 mm`,
		}},
		{"kind of table", "cutting: {gap: 3}", "cutting: {table: {length: 6 m, width: 1600, kind: moving}}", []string{`job.yaml:25:51: kind: unknown word "moving"; known: "static", "conveyor"`}},
		{"plan at", "resin: epoxy", "plan_at: 75", []string{`job.yaml:26:23: plan_at: "75" is out of range; take more than 0 and at most 1`}},

		// YAML.
		{"tabs", "  - name: UD 300", "\t- name: UD 300", []string{`job.yaml:15:1: not YAML: found character '\t' that cannot start any token; indent with spaces`}},
		{"unclosed quote", "job: J", `job: "J`, nil},
		{"unknown alias", "job: J", "job: *title", []string{`job.yaml:1:6: no anchor "title" stands before this alias`}},
		{"two documents", "cutting: {gap: 3}", "---\ncutting: {gap: 3}", []string{`job.yaml:26:1: a second YAML document begins here; a file holds one job`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(base, tt.old), "the case must spoil one place")
			job, problems := readText(strings.Replace(base, tt.old, tt.new, 1),
				"faulty.dxf", "!", "empty.dxf", " ", "other.svg", "SKIN")
			if tt.want == nil {
				require.NotEmpty(t, problems)
				return
			}
			assert.Equal(t, strings.Join(tt.want, "\n"), problems.Error())
			for _, p := range problems {
				checkPlace(t, strings.Replace(base, tt.old, tt.new, 1), p)
			}
			assert.Equal(t, problems.Err() != nil, job == nil, "a job is returned where nothing stops the work")
		})
	}
}

var firstQuoted = regexp.MustCompile(`"(?:[^"\\\\]|\\\\.)*"`)

// checkPlace looks up a problem's place in the file: the word that the message
// quotes first must stand there. Messages about what is not there, and about
// what stands elsewhere, are left out.
func checkPlace(t *testing.T, file string, p shapes.Problem) {
	t.Helper()
	quoted := firstQuoted.FindString(p.Message)
	if p.File != "job.yaml" || p.Column == 0 || quoted == "" || strings.Contains(quoted, "…") ||
		strings.Contains(p.Message, "lacks") || strings.Contains(p.Message, "aliases") || strings.Contains(p.Message, "mass tells") {
		return
	}
	word, err := strconv.Unquote(quoted)
	require.NoError(t, err)
	line := []rune(strings.Split(file, "\n")[p.Line-1])
	if !strings.Contains(string(line), word) {
		return // escaped in the file
	}
	rest := strings.TrimPrefix(strings.TrimLeft(string(line[p.Column-1:]), `"*`), "./")
	if _, unit, found := strings.Cut(rest, " "); found && strings.HasPrefix(unit, word) {
		return // a unit behind its figure
	}
	for _, head := range []string{"lap ", "2.10 per ", "3 per "} {
		rest = strings.TrimPrefix(rest, head)
	}
	assert.True(t, strings.HasPrefix(rest, word), "column %d of %q is not at %q", p.Column, string(line), word)
}

func TestEmptyAndUnreadable(t *testing.T) {
	tests := []struct{ name, job, want string }{
		{"empty file", "", `job.yaml:1: the job is empty; start one from drawings with "plyroom new FILE… -o JOB.yaml", or look at testdata/nacelle/job.yaml, which shows all a job can hold`},
		{"remarks only", "# nothing\n", `job.yaml:1: the job is empty; start one from drawings with "plyroom new FILE… -o JOB.yaml", or look at testdata/nacelle/job.yaml, which shows all a job can hold`},
		{"a list", "- a\n", `job.yaml:1:1: a job is a mapping, found a list`},
		{"a text", "hello\n", `job.yaml:1:1: a job is a mapping, found the text "hello"`},
		{"an empty mapping", "{}\n", "job.yaml:1:1: the job lacks \"job\"\njob.yaml:1:1: the job lacks \"fabrics\"\njob.yaml:1:1: the job lacks \"parts\""},
		{"no parts", "job: J\nfabrics: [{name: F, construction: film, width: 1 m}]\nparts: []\n", `job.yaml:3:8: parts is empty`},
		{"not UTF-8", "job: J\nrevision: \xff\n", `job.yaml:2: the file is not UTF-8 text; save it as UTF-8`},
		{"deep", "a: " + strings.Repeat("[", 5000), `job.yaml:1: values are nested more than 64 deep`},
		{"many keys", strings.Repeat("a: 1\n", 1100), `job.yaml:1001: more than 1000 keys stand in one mapping; put long lay-ups into a ply table`},
		{"many keys on a line", "x: [" + strings.Repeat("{a: 1}, ", 1100), `job.yaml:1: more than 1000 keys stand on one line; put long lay-ups into a ply table`},
		{"many entries in brackets", "x: [" + strings.Repeat("a,\n", 3100), `job.yaml:3001: more than 3000 entries stand in one pair of brackets; put long lay-ups into a ply table`},
		{"many entries", strings.Repeat("- a\n", 20100), `job.yaml:20001: more than 20000 list entries; put long lay-ups into a ply table`},
		{"deep dashes", strings.Repeat("- ", 9000) + "x", `job.yaml:1: values are nested more than 64 deep`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			job, problems := readText(tt.job)
			assert.Nil(t, job)
			assert.Equal(t, tt.want, problems.Error())
		})
	}
	_, problems := read("nowhere/job.yaml", memory{}, memory{}.drawings)
	assert.EqualError(t, problems, `nowhere/job.yaml: the job file cannot be read: there is no such file`)
	_, problems = Read(t.TempDir())
	require.Len(t, problems, 1)
	assert.Equal(t, "the job file cannot be read: it is no regular file", problems[0].Message)
}

// Keys of different mappings at one depth are not counted together.
func TestLongJobIsNotCrowded(t *testing.T) {
	var b strings.Builder
	b.WriteString(strings.TrimSuffix(base, "cutting: {gap: 3}\nlaminating: {resin: epoxy}\n"))
	for i := 3; i < 3000; i++ {
		fmt.Fprintf(&b, "      - order: %d\n        ply: U%d\n        outline: SKIN\n        fabric: CSM 450\n", i, i)
	}
	job, problems := readText(b.String())
	require.Empty(t, problems)
	assert.Len(t, job.Parts[0].Plies, 2999)
}

func TestAliasBomb(t *testing.T) {
	var b strings.Builder
	b.WriteString("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 10; i++ {
		fmt.Fprintf(&b, "a%d: &a%d [%s]\n", i, i, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i-1), 10), ", "))
	}
	job, problems := readText(b.String())
	assert.Nil(t, job)
	assert.EqualError(t, problems, `job.yaml:7:9: aliases make more than 2000000 values of this job`)
}

// Anchors and the merge key save writing; a key written out goes before a
// merged one.
func TestMerge(t *testing.T) {
	job, problems := readText(strings.Replace(base, `      - {order: 1, ply: U1, outline: SKIN, fabric: CSM 450}
`, `      - &first {order: 1, ply: U1, outline: SKIN, fabric: CSM 450, bag: A}
      - {<<: *first, order: 3, ply: U3}
`, 1))
	require.Empty(t, problems)
	u3 := job.Parts[0].Plies[2]
	assert.Equal(t, "U3", u3.Name)
	assert.Equal(t, 3, u3.Order)
	assert.Equal(t, "A", u3.Bag)
	assert.Equal(t, "SKIN", u3.Outline.Name)
}

// A reader who runs the tool once sees every mistake of the job, its table and
// its drawing, in the order of the places.
func TestAllMistakesInOneRun(t *testing.T) {
	job := `job: J
units: mil
fabrics:
  - name: CSM 450
    construction: matt
    areal_mass: 450 oz
    width: -3
  - name: WR 600
    construction: plain
    ballanced: true
    areal_mass: 600
    width: 1250
    width: 1260
parts:
  - part: A
    outlines: upper-shell.dxf
    plies:
      - {order: 1, ply: A1, outline: SKINNY, fabric: WR 60, direction: x}
      - {order: 2, ply: A1, outline: CHEEK, fabric: WR 600, direction: 0, count: 1, opposite_hand: 2}
  - part: B
    outlines: tapes.svg
    ply_table: b.csv
cuting: {}
`
	table := "order,ply,outline,fabric,direction,clour\n1,B1,TAPE-3,WR 600,0,\n2,B2,TAPE-1,WR 600,,\nx,B2,TAPE-1,WR 600,0,\n"
	got, problems := readText(job, "b.csv", table)
	assert.Nil(t, got)
	assert.Equal(t, strings.TrimSpace(`
job.yaml:2:8: units: unknown word "mil"; did you mean "mm"?
job.yaml:5:19: construction: unknown word "matt"; did you mean "mat"?
job.yaml:6:17: areal_mass: "oz" is no unit of areal mass; known: "g/m2", "kg/m2", "oz/ft2", "oz/yd2"
job.yaml:7:12: width: "-3" is out of range; take more than 0 and at most 20000 mm
job.yaml:10:5: unknown key "ballanced"; did you mean "balanced"?
job.yaml:13:5: key "width" stands twice, first on line 12
job.yaml:18:38: A, A1: unknown outline "SKINNY"; did you mean "SKIN"?
job.yaml:18:54: A, A1: unknown fabric "WR 60"; did you mean "WR 600"?
job.yaml:18:72: A, A1: direction: "x" is not an angle; it does not begin with a figure
job.yaml:19:25: A, A1: ply "A1" stands twice in this part, first on line 18
job.yaml:19:100: A, A1: opposite_hand is 2 but count only 1; count is all pieces, both hands
job.yaml:23:1: unknown key "cuting"; did you mean "cutting"?
b.csv:1:36: unknown column "clour"
b.csv:2:6: B, B1: unknown outline "TAPE-3"; did you mean "TAPE-1"?
b.csv:3:1: B, B2: the ply lacks "direction"; fabric "WR 600" has one
b.csv:4:1: B, B2: order: "x" is not a whole number from 1 to 100000
b.csv:4:3: B, B2: ply "B2" stands twice in this part, first on line 3
`), problems.Error())
	for _, p := range problems {
		assert.Equal(t, shapes.Fault, p.Severity)
	}
}
