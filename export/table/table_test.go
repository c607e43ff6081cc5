package table_test

import (
	"encoding/csv"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/table"
)

func sample() *table.Table {
	t := &table.Table{
		Title: "Fabric drawn",
		Columns: []table.Column{
			{Key: "fabric", Title: "Fabric"},
			{Key: "area_m2", Title: "m²", Right: true},
			{Key: "lot", FileOnly: true},
		},
		Footer: []table.Cell{table.Text("total"), table.Number(15.8, 2), table.Blank()},
	}
	t.Add(table.Text("CSM 450"), table.Number(12.3, 2), table.Text("2231-B"))
	t.Add(table.Text("=HYPERLINK(1)"), table.Number(3.5, 2), table.Text("a,b \"c\""))
	return t
}

func TestCSV(t *testing.T) {
	var b strings.Builder
	require.NoError(t, sample().WriteCSV(&b))
	assert.Equal(t, "fabric,area_m2,lot\n"+
		"CSM 450,12.30,2231-B\n"+
		"'=HYPERLINK(1),3.50,\"a,b \"\"c\"\"\"\n"+
		"total,15.80,\n", b.String())
}

func TestText(t *testing.T) {
	var b strings.Builder
	require.NoError(t, sample().WriteText(&b, 0))
	assert.Equal(t, ""+
		"Fabric drawn\n"+
		"Fabric            m²\n"+
		"──────────────────────\n"+
		"CSM 450        12.30\n"+
		"=HYPERLINK(1)   3.50\n"+
		"──────────────────────\n"+
		"total          15.80\n", b.String())
}

func TestTextKeepsToWidth(t *testing.T) {
	tb := sample()
	tb.Add(table.Text(strings.Repeat("long ", 40)), table.Number(1, 2), table.Blank())
	var b strings.Builder
	require.NoError(t, tb.WriteText(&b, 60))
	for _, l := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(l), 60, l)
	}
	assert.Equal(t, 40, strings.Count(b.String(), "long"), "nothing is left out")
	b.Reset()
	require.NoError(t, tb.WriteText(&b, 5))
	for _, figure := range []string{"12.30", "3.50", "15.80"} {
		assert.Contains(t, b.String(), figure)
	}
}

func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{
		"":             "",
		"CSM 450":      "CSM 450",
		"=1+1":         "'=1+1",
		"+1":           "'+1",
		"-45":          "'-45",
		"@SUM(A1)":     "'@SUM(A1)",
		"\t=1":         "'\t=1",
		"\rx":          "'\rx",
		"\nx":          "'\nx",
		"  =1":         "'  =1",
		"\u200b=1":     "'\u200b=1",
		"＝1":           "'＝1",
		"a=1":          "a=1",
		"'=1":          "'=1",
		"Ø 12, “left”": "Ø 12, “left”",
		"a\xffb":       "a\uFFFDb",
		"a\x00b":       "a\uFFFDb",
	} {
		assert.Equal(t, want, table.Harmless(in), "%q", in)
	}
}

func TestPlain(t *testing.T) {
	assert.Equal(t, "a b c", table.Plain("a\nb\tc"))
	assert.Equal(t, "\uFFFD[31mred", table.Plain("\x1b[31mred"))
	assert.Equal(t, "\uFFFDabc", table.Plain("\u202eabc"), "no reversal of what follows")
}

func TestNumber(t *testing.T) {
	assert.Equal(t, "0.00", table.Number(-0.001, 2).String())
	assert.Equal(t, "-0.01", table.Number(-0.01, 2).String())
	assert.Equal(t, "1.01", table.Number(1.005, 2).String())
	assert.Equal(t, "", table.Number(math.NaN(), 2).String())
	assert.Equal(t, "", table.Number(math.Inf(1), 2).String())
	assert.Equal(t, "7", table.Int(7).String())
}

func TestRowsMustFit(t *testing.T) {
	tb := sample()
	tb.Add(table.Text("x"))
	assert.ErrorContains(t, tb.WriteCSV(&strings.Builder{}), "row 3 has 1 cells for 3 columns")
	assert.ErrorContains(t, tb.WriteText(&strings.Builder{}, 0), "row 3")
}

// Whatever the text, a reader of CSV finds it again, and no cell begins a
// formula.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.String().Draw(t, "text")
		tb := &table.Table{Columns: []table.Column{{Key: "a"}, {Key: "b"}}}
		tb.Add(table.Text(in), table.Text("end"))
		var b strings.Builder
		if err := tb.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		got := rows[1][0]
		if got != "" && strings.ContainsRune("=+-@\t\r\n", rune(got[0])) {
			t.Fatalf("%q starts a formula", got)
		}
		// A reader turns \r\n inside a field into \n.
		want := strings.ReplaceAll(table.Harmless(in), "\r\n", "\n")
		if got != want {
			t.Fatalf("%q came back as %q", in, got)
		}
		if err := tb.WriteText(&b, 40); err != nil {
			t.Fatal(err)
		}
	})
}
