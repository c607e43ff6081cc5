package jobfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// tabled is a job whose lay-up stands in a table.
const tabled = `job: J
fabrics: [{name: CSM 450, construction: mat, areal_mass: 450, width: 1270}, {name: WR 600, construction: plain, areal_mass: 600, width: 1250}]
parts: [{part: P, outlines: upper-shell.dxf, ply_table: sub/plies.csv}]
`

func TestTables(t *testing.T) {
	const rows = "order,ply,outline,fabric,direction,note\n1,A,SKIN,CSM 450,,\"one, two\"\n2,B,CHEEK,WR 600,-45,\n"
	for name, table := range map[string]string{
		"comma":               rows,
		"semicolon":           strings.NewReplacer(",", ";", "\"one; two\"", "\"one, two\"").Replace(strings.Replace(rows, "one, two", "one§ two", 1)),
		"tab":                 strings.ReplaceAll(strings.Replace(rows, "\"one, two\"", "one§ two", 1), ",", "\t"),
		"line ends":           strings.ReplaceAll(rows, "\n", "\r\n"),
		"line ends of old":    strings.ReplaceAll(rows, "\n", "\r"),
		"old ones, remarks":   strings.ReplaceAll("\ufeff# a remark\n"+rows, "\n", "\r"),
		"stated separator":    "sep=,\r\n" + rows,
		"stated semicolon":    "\ufeff\"sep=;\"\n# a, remark, here\n" + strings.NewReplacer(",", ";").Replace(strings.Replace(rows, "one, two", "one§ two", 1)),
		"stated tab":          "SEP=\t\n" + strings.ReplaceAll(strings.Replace(rows, "\"one, two\"", "one§ two", 1), ",", "\t"),
		"stated bar":          "sep=|\n" + strings.ReplaceAll(strings.Replace(rows, "one, two", "one§ two", 1), ",", "|"),
		"byte order mark":     "\ufeff" + rows,
		"no last line end":    strings.TrimSuffix(rows, "\n"),
		"capitals and spaces": strings.Replace(rows, "order,ply", " Order , PLY", 1),
		"remarks":             "# a remark\n\n#,,\n" + rows,
		"empty lines":         strings.Replace(rows, "\n2", "\n,,,,,\n\n2", 1),
		"spare cells":         strings.ReplaceAll(rows, "\n", ",,\n"),
	} {
		t.Run(name, func(t *testing.T) {
			job, problems := readText(tabled, "sub/plies.csv", strings.ReplaceAll(table, "§", ","))
			require.Empty(t, problems)
			plies := job.Parts[0].Plies
			require.Len(t, plies, 2)
			assert.Equal(t, "A", plies[0].Name)
			assert.Equal(t, "one, two", plies[0].Note)
			assert.Equal(t, -45.0, plies[1].Direction)
			assert.Equal(t, "sub/plies.csv", plies[1].File)
		})
	}
}

func TestTableRevision(t *testing.T) {
	const rows = "order,ply,outline,fabric\n1,A,SKIN,CSM 450\n"
	job, problems := readText(tabled, "sub/plies.csv", "# Revision: D\n"+rows)
	require.Empty(t, problems)
	assert.Equal(t, "D", job.Parts[0].Revision)

	job, problems = readText(strings.Replace(tabled, "part: P", "part: P, revision: D", 1), "sub/plies.csv", "\"# revision: D\",,,\n"+rows)
	require.Empty(t, problems)
	assert.Equal(t, "D", job.Parts[0].Revision)

	_, problems = readText(strings.Replace(tabled, "part: P", "part: P, revision: C", 1), "sub/plies.csv", "# revision: D\n"+rows)
	assert.EqualError(t, problems, `job.yaml:3:70: the ply table is of revision "D", the part of revision "C"; revisions are not mixed`)
}

func TestTableMistakes(t *testing.T) {
	tests := []struct{ name, table, want string }{
		{"empty", "", `sub/plies.csv:1: the ply table is empty`},
		{"remarks only", "# x\n", `sub/plies.csv:1: the ply table is empty`},
		{"header only", "order,ply,outline,fabric\n", `sub/plies.csv:1: the ply table lists no ply`},
		{"no header", "1,A,SKIN,CSM 450\n", `
sub/plies.csv:1: no column of this header is known; known: order, ply, outline, fabric, direction, tolerance, count, opposite_hand, trim, split, bag, note, split.joint, split.overlap, split.min_panel, split.stagger, split.seams, split.allowed, split.min_saving
sub/plies.csv:1:1: unknown column "1"
sub/plies.csv:1:3: unknown column "A"
sub/plies.csv:1:5: unknown column "SKIN"
sub/plies.csv:1:10: unknown column "CSM 450"`},
		{"missing column", "order,ply,fabric\n1,A,CSM 450\n", `sub/plies.csv:1: the ply table lacks the column "outline"`},
		{"column twice", "order,ply,outline,fabric,Ply\n1,A,SKIN,CSM 450,B\n", `sub/plies.csv:1:26: column "Ply" stands twice`},
		{"unknown column", "order,ply,outline,fabric,quantity of it,cuont\n1,A,SKIN,CSM 450,,\n", `
sub/plies.csv:1:26: unknown column "quantity of it"
sub/plies.csv:1:41: unknown column "cuont"; did you mean "count"?`},
		{"too many cells", "order,ply,outline,fabric\n1,A,SKIN,CSM 450,7,8\n", `sub/plies.csv:2:18: the row has 6 cells, the header only 4`},
		{"too few cells", "order,ply,outline,fabric\n1,A\n", `
sub/plies.csv:2:1: P, A: the ply lacks "outline"
sub/plies.csv:2:1: P, A: the ply lacks "fabric"`},
		{"quote", "order,ply,outline,fabric\n1,\"A,SKIN,CSM 450\n", `sub/plies.csv:2: not CSV: a quotation mark stands inside a cell or is never closed`},
		{"not UTF-8", "order,ply,outline,fabric\n1,A\xe9,SKIN,CSM 450\n", `sub/plies.csv:2: the file is not UTF-8 text; save it as CSV in UTF-8`},
		{"line after a stated separator", "sep=;\norder;ply;outline;fabric;count\n1;A;SKIN;CSM 450;x\n", `sub/plies.csv:3:18: P, A: count: "x" is not a whole number from 1 to 100000`},
		{"line of old line ends", "order,ply,outline,fabric,count\r1,A,SKIN,CSM 450,x\r", `sub/plies.csv:2:18: P, A: count: "x" is not a whole number from 1 to 100000`},
		{"separator that is none", "sep=x\norder,ply,outline,fabric\n", `
sub/plies.csv:1: no column of this header is known; known: order, ply, outline, fabric, direction, tolerance, count, opposite_hand, trim, split, bag, note, split.joint, split.overlap, split.min_panel, split.stagger, split.seams, split.allowed, split.min_saving
sub/plies.csv:1:1: unknown column "sep=x"`},
		{"a name of two lines", "order,ply,outline,fabric\n1,\"A\nB\",SKIN,CSM 450\n", `sub/plies.csv:2:3: P, "A\nB": ply: "A\nB" holds a control character`},
		{"a name turned about", "order,ply,outline,fabric\n1,A\u202eB,SKIN,CSM 450\n", `sub/plies.csv:2:3: P, "A\u202eB": ply: "A\u202eB" holds a character that turns the direction of writing; names must read on paper as they are stored`},
		{"wide letters before the cell", "order,ply,outline,fabric,count\n1,Größe,SKIN,CSM 450,x\n", `sub/plies.csv:2:22: P, Größe: count: "x" is not a whole number from 1 to 100000`},
		{"decimal comma", "order;ply;outline;fabric;direction\n1;A;SKIN;WR 600;22,5\n", `sub/plies.csv:2:17: P, A: direction: "22,5" is not an angle; decimals are written with a point`},
		{"names of escape codes", "order,ply,outline,fabric\n1,\x1b[2J,SKIN,CSM 450\n", `sub/plies.csv:2:3: P, "\x1b[2J": ply: "\x1b[2J" holds a control character`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			job, problems := readText(tabled, "sub/plies.csv", tt.table)
			assert.Nil(t, job)
			assert.Equal(t, strings.TrimPrefix(tt.want, "\n"), problems.Error())
			for _, p := range problems {
				assert.Equal(t, shapes.Fault, p.Severity)
			}
		})
	}
	_, problems := readText(tabled, "sub/plys.csv", "")
	assert.EqualError(t, problems, `job.yaml:3:57: ply table "sub/plies.csv" cannot be read: there is no such file; did you mean "plys.csv"?`)
}
