package sheet

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"plyroom/export/table"
)

// What is written is read again: figures as figures with their decimals, text
// as text, also where it looks like a formula.
func TestReadBack(t *testing.T) {
	tb := &table.Table{Columns: []table.Column{{Key: "fabric"}, {Key: "m", Right: true}, {Key: "note"}}}
	tb.Add(table.Text("=HYPERLINK(\"http://x\",\"y\")"), table.Number(12.5, 2), table.Text("a\x01b"))
	tb.Add(table.Text("WR 600"), table.Blank(), table.Text("007"))
	tb.Footer = []table.Cell{table.Text("total"), table.Int(3), table.Blank()}
	var b bytes.Buffer
	require.NoError(t, Write(&b, "Buy", Sheet{"To buy: all/now?", tb}, Sheet{"", tb}))
	f, err := excelize.OpenReader(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.Equal(t, []string{"To buy  all now ", "Table 2"}, f.GetSheetList())
	name := f.GetSheetList()[0]
	get := func(at string) string {
		v, err := f.GetCellValue(name, at)
		require.NoError(t, err)
		return v
	}
	require.Equal(t, "fabric", get("A1"))
	require.Equal(t, `=HYPERLINK("http://x","y")`, get("A2"))
	formula, err := f.GetCellFormula(name, "A2")
	require.NoError(t, err)
	require.Empty(t, formula)
	require.Equal(t, "12.50", get("B2"))
	kind, err := f.GetCellType(name, "B2")
	require.NoError(t, err)
	require.NotEqual(t, excelize.CellTypeSharedString, kind)
	require.Equal(t, "007", get("C3"))
	require.Empty(t, get("B3"))
	require.Equal(t, "3", get("B4"))
	require.Error(t, Write(&b, "none"))
}
