package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/paper"
	"plyroom/nest"
	"plyroom/nest/account"
)

func render(t testing.TB, rec *nest.Record) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, Input{Record: rec}))
	return b.String()
}

// TestKeep leaves pages for looking at where REPORT_OUT names a folder.
func TestKeep(t *testing.T) {
	dir := os.Getenv("REPORT_OUT")
	if dir == "" {
		t.Skip("REPORT_OUT names no folder")
	}
	keep := func(name, page string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(page), 0o666))
	}
	keep("report.html", render(t, spreadRecord()))
	keep("large.html", render(t, large()))
}

// large is a record of more than 2,000 plies.
func large() *nest.Record {
	return sample.Record(sample.Options{Units: 4, Repeat: 7, Table: 6000})
}

func TestSameBytes(t *testing.T) {
	require.Equal(t, render(t, spreadRecord()), render(t, spreadRecord()))
}

func TestNothingOutsideIsAskedFor(t *testing.T) {
	// The name of SVG is an address, but nobody asks there.
	page := strings.ReplaceAll(render(t, spreadRecord()), "http://www.w3.org/2000/svg", "svg")
	require.NotContains(t, page, "http:")
	require.NotContains(t, page, "https:")
	require.NotRegexp(t, `(?i)<(iframe|img|object|embed|form|base)\b`, page)
	require.NotRegexp(t, `\son[a-z]+="`, page, "an event handler in an attribute")
	require.NotRegexp(t, `\sstyle="`, page, "the policy refuses style attributes")
	for _, m := range regexp.MustCompile(`\s(?:href|src)="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		require.Regexp(t, `^(#|data:image/svg)`, m[1])
	}
	for _, m := range regexp.MustCompile(`url\(([^)]*)\)`).FindAllStringSubmatch(page, -1) {
		require.True(t, strings.HasPrefix(m[1], "#"), m[0])
	}
}

// Every id stands once, and every reference within the page leads somewhere.
func TestReferences(t *testing.T) {
	page := render(t, spreadRecord())
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(`\sid="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		require.False(t, ids[m[1]], "id %s stands twice", m[1])
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`(?:href="#|url\(#|aria-labelledby="|aria-describedby=")([^")]*)`).FindAllStringSubmatch(page, -1) {
		require.True(t, ids[m[1]], "nothing has the id %s", m[1])
	}
}

// The page is well formed: apart from its style and script, an XML reader takes
// all of it.
func TestWellFormed(t *testing.T) {
	raw := regexp.MustCompile(`(?s)<(style|script)>.*?</(style|script)>`)
	for _, page := range []string{
		render(t, spreadRecord()),
		render(t, sample.Record(sample.Options{Name: func(s string) string { return evil + s }})),
		compared(t, Run{Record: spreadRecord()}, Run{Record: sample.Record(sample.Options{})}),
	} {
		d := xml.NewDecoder(strings.NewReader(raw.ReplaceAllString(page, "")))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
		}
	}
}

func TestOverviewEqualsTheBooks(t *testing.T) {
	rec := spreadRecord()
	led, err := account.Measure(rec)
	require.NoError(t, err)
	rows := tableRows(t, render(t, rec), "fabrics")
	require.Len(t, rows, len(led.Fabrics)+1)
	for i, s := range append(append([]account.Summary{}, led.Fabrics...), led.Total) {
		r := rows[i]
		near := func(col int, want, within float64) {
			t.Helper()
			require.InDelta(t, want, r[col], within+1e-9, "%s, column %d", s.Fabric, col)
		}
		near(0, float64(s.Layouts), 0)
		near(1, float64(s.Plies), 0)
		near(2, s.Length/1e3, 0.005)
		near(3, s.Books.Drawn/1e6, 0.005)
		near(4, 100*s.Books.NetYield(), 0.05)
		near(5, 100*s.Books.CutYield(), 0.05)
		near(6, 100*s.Books.NetYieldUsable(), 0.05)
		near(7, 100*s.Books.CutYieldUsable(), 0.05)
		near(8, s.BoundLength/1e3, 0.005)
		near(9, 100*s.Gap(), 0.05)
		if s.Priced {
			near(10, s.Cost, 0.005)
		}
	}
}

func TestScrapTableAddsUp(t *testing.T) {
	rec := spreadRecord()
	led, err := account.Measure(rec)
	require.NoError(t, err)
	rows := tableRows(t, render(t, rec), "classes")
	n := len((account.Books{}).Classes())
	require.Len(t, rows, n+1)
	for k, s := range append(append([]account.Summary{}, led.Fabrics...), led.Total) {
		area, share := 0.0, 0.0
		for i, c := range s.Books.Classes() {
			require.InDelta(t, c.Area/1e6, rows[i][2*k], 0.0011, "%s of %s", c.Label, s.Fabric)
			require.InDelta(t, 100*c.Area/s.Books.Drawn, rows[i][2*k+1], 0.05+1e-9, "share of %s", c.Label)
			area += rows[i][2*k]
			share += rows[i][2*k+1]
		}
		require.InDelta(t, rows[n][2*k], area, 1e-9, "area of %s", s.Fabric)
		require.InDelta(t, s.Books.Drawn/1e6, area, 0.0006)
		// Shares are rounded one by one, as yields are, so that both say the same.
		require.InDelta(t, 100, share, 0.05*float64(n), "shares of %s", s.Fabric)
	}
}

// tableRows reads the numbers of the cells of a table's body and foot; what is
// no number is 0.
func tableRows(t *testing.T, page, class string) [][]float64 {
	t.Helper()
	at := strings.Index(page, `<table class="`+class+`"`)
	require.Positive(t, at)
	table := page[at:]
	table = table[strings.Index(table, "<tbody>"):strings.Index(table, "</table>")]
	var rows [][]float64
	cell := regexp.MustCompile(`<td[^>]*>([^<]*)(?:<small>([^<]*)</small>)?</td>`)
	for _, tr := range strings.Split(table, "<tr>")[1:] {
		var row []float64
		for _, m := range cell.FindAllStringSubmatch(tr, -1) {
			for i, s := range m[1:] {
				if i > 0 && class != "classes" {
					continue // only that table has two numbers in a cell
				}
				v, _ := strconv.ParseFloat(strings.NewReplacer(thin, "", "%", "", "−", "-").Replace(s), 64)
				row = append(row, v)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func TestEveryPlyHasOneRowAndEveryRowAPly(t *testing.T) {
	rec := spreadRecord()
	page := render(t, rec)
	require.Equal(t, len(rec.Demand), len(regexp.MustCompile(`<tr id="r\d+"`).FindAllString(page, -1)))
	require.Equal(t, len(rec.Demand), len(regexp.MustCompile(`<g class="pl" id="p\d+"`).FindAllString(page, -1)))
	for n := range rec.Demand {
		require.Contains(t, page, fmt.Sprintf(`<a href="#p%d">`, n))
	}
}

func TestShortKitIsSaidInBold(t *testing.T) {
	rec := sample.Record(sample.Options{})
	l := &rec.Layouts[len(rec.Layouts)-1]
	lost := l.Placed[len(l.Placed)-1]
	l.Placed = l.Placed[:len(l.Placed)-1]
	page := render(t, rec)
	require.Contains(t, page, `<h2 id="short-h" class="bad">Short: 1 kit is not whole</h2>`)
	require.Regexp(t, "<b>Short: [^<]+</b> lacks "+regexp.QuoteMeta(lost.Ply), page)
	require.Contains(t, page, "<b>"+lost.Fabric+"</b>: 1 piece, ")
	require.Less(t, strings.Index(page, `id="short"`), strings.Index(page, `id="overview"`), "before all figures")
	require.NotContains(t, render(t, sample.Record(sample.Options{})), `id="short"`)
	require.Contains(t, page, `<b class="bad">SHORT</b>`)
	require.Contains(t, page, lost.Ply)
}

// Plies divided to save fabric are named with what that saves, laps beside it.
func TestDivisionIsTold(t *testing.T) {
	rec := sample.Record(sample.Options{})
	require.NotContains(t, render(t, rec), "division-cap")
	rec.Divisions = []nest.Division{{Fabric: "CSM 450", WholeLength: 3046, WholeDrawn: 3.86842e6, Length: 2043, Drawn: 2.59461e6, Asked: 127000,
		Plies: []nest.DividedPly{{Part: "Shell", Ply: "U01", Panels: 2, Pieces: 3, LapArea: 50000}}}}
	page := render(t, rec)
	for _, cell := range []string{"Shell U01 in 2 panels, 3 times", "3.05", "2.04", "1.00", "1.27", "0.13", "0.05"} {
		require.Contains(t, page, ">"+cell+"<")
	}
	rec.Divisions[0].Homeless = 2
	require.Contains(t, render(t, rec), "2 pieces find no room otherwise")
}

func TestNoRecord(t *testing.T) {
	require.Error(t, Write(io.Discard, Input{}))
}

func TestEmptyAndOddRecords(t *testing.T) {
	empty := &nest.Record{Format: nest.Format, Units: "mm"}
	require.Contains(t, render(t, empty), "<h1></h1>")
	require.Error(t, WriteCompare(io.Discard, Run{Record: empty}))
	rec := sample.Record(sample.Options{})
	rec.Layouts = append(rec.Layouts, nest.Layout{ID: "L99", Length: 100, Width: 1270, Usable: [2]nest.Point{{20, 15}, {80, 1255}}, Layers: []nest.Layer{{Layer: 1, Fabric: rec.Fabrics[0].Name}}})
	for i := range 40 {
		rec.Parts = append(rec.Parts, nest.Part{Part: fmt.Sprint("part ", i), Units: 1})
	}
	require.Contains(t, render(t, rec), "L99")
	rec.Layouts[0].Length = 9e5
	require.Less(t, len(render(t, rec)), 2_000_000)
}

const evil = "\"><script>alert(1)</script></style></title><!--\n'`\\ {{.}} \u202e<img src=x onerror=alert(2)>\x00"

func TestHostileNamesDoNothing(t *testing.T) {
	rec := sample.Record(sample.Options{Name: func(s string) string { return evil + s }})
	for i := range rec.Layouts {
		rec.Layouts[i].ID += evil
	}
	page := render(t, rec)
	require.Equal(t, 1, strings.Count(page, "<script"))
	require.Equal(t, 1, strings.Count(page, "</script"))
	require.Equal(t, 2, strings.Count(page, "</style"))
	require.NotContains(t, page, "<img")
	require.NotContains(t, page, "<!--")
	tb := open(t, page, 1440, 900)
	require.Equal(t, "yes", js[string](tb, "document.documentElement.dataset.ready||''"))
	require.Contains(t, js[string](tb, "document.querySelector('h1').textContent"), "<script>alert(1)</script>")
	x, y := tb.middle("#r5 th")
	tb.hover(x, y)
	require.Contains(t, js[string](tb, "[...document.querySelectorAll('.what')].map(e=>e.textContent).join('')"), "onerror=alert(2)")
	require.Zero(t, js[int](tb, "document.querySelectorAll('img,main script').length"))
	tb.keep("evil.png")
	tb.quiet()
}

// TestLargePlanOpensAtOnce tells how long a large plan's page keeps the browser
// busy. Seconds differ from machine to machine, so what is asserted is that it
// takes no more than in proportion to a smaller plan in the same run, with as much
// again for noise.
func TestLargePlanOpensAtOnce(t *testing.T) {
	less := sample.Record(sample.Options{Units: 4, Repeat: 2, Table: 6000})
	small := open(t, render(t, less), 1440, 900)
	require.Equal(t, "yes", js[string](small, "document.documentElement.dataset.ready||''"))
	unhurried := small.busy()
	rec := large()
	require.Greater(t, len(rec.Demand), 2000)
	start := time.Now()
	page := render(t, rec)
	t.Logf("%d plies written in %v, %d kB", len(rec.Demand), time.Since(start).Round(time.Millisecond), len(page)/1000)
	start = time.Now()
	tb := open(t, page, 1440, 900)
	require.Equal(t, "yes", js[string](tb, "document.documentElement.dataset.ready||''"))
	wall := time.Since(start)
	loaded := js[float64](tb, "performance.timing.loadEventEnd-performance.timing.navigationStart")
	nodes := js[int](tb, "document.querySelectorAll('*').length")
	t.Logf("%d elements, load event after %.0f ms, ready after %v with a new tab", nodes, loaded, wall.Round(time.Millisecond))
	busy := tb.busy()
	more := float64(len(rec.Demand)) / float64(len(less.Demand))
	t.Logf("the page's thread was busy for %v; for %v with 1/%.1f of the plies", busy.Round(time.Millisecond), unhurried.Round(time.Millisecond), more)
	require.Less(t, busy.Seconds(), 2*more*unhurried.Seconds())
	x, y := tb.middle("#r1900 th")
	tb.hover(x, y)
	require.Equal(t, 1900, js[int](tb, "Number(document.querySelector('.stage .mark-lit').dataset.n)"))
	tb.keep("large.png")
	start = time.Now()
	tb.run("const s=document.getElementById('f-part');s.value='2';s.dispatchEvent(new Event('change'))")
	js[float64](tb, "document.body.getBoundingClientRect().height")
	t.Logf("filtered in %v", time.Since(start).Round(time.Millisecond))
	tb.quiet()
}

func TestShares(t *testing.T) {
	got := shares(1, 0.1, []float64{0.333, 0.333, 0.334, 0})
	sum := 0.0
	for _, v := range got {
		sum += v
	}
	require.InDelta(t, 1, sum, 1e-12)
	require.Zero(t, got[3])
	require.Zero(t, shares(1, 0.1, []float64{1, -1e-9})[1])
}

func TestFixed(t *testing.T) {
	for _, c := range []struct {
		v    float64
		d    int
		want string
	}{
		{1234.5, 1, "1234.5"}, {12345.6, 1, "12" + thin + "345.6"}, {-0.001, 2, "0.00"}, {-2.5, 1, "−2.5"},
		{1234567, 0, "1" + thin + "234" + thin + "567"}, {math.NaN(), 1, "–"},
	} {
		require.Equal(t, c.want, fixed(c.v, c.d))
	}
	require.Equal(t, "−44.5°", degrees(-44.5))
	require.Equal(t, "0°", degrees(-0.001))
}

func TestCSSString(t *testing.T) {
	require.Equal(t, `"a\000020\000022\00003c\00002f\000020"`, cssString("a \"</\n"))
}

// The page speaks of what the job's resin needs, once.
func TestCautionsFitTheResin(t *testing.T) {
	for resin, words := range map[string][2][]string{
		"epoxy":     {{"hardener", "mix ratio", "sensitise the skin", "eye protection"}, {"styrene", "nitiator", "ccelerator"}},
		"phenolic":  {{"eye protection", "data sheet"}, {"styrene", "hardener"}},
		"polyester": {{"Never mix initiator and accelerator", "styrene"}, {"hardener"}},
	} {
		rec := spreadRecord()
		rec.Laminating.Resin = resin
		page := render(t, rec)
		for _, w := range words[0] {
			require.Contains(t, page, w, resin)
		}
		for _, w := range words[1] {
			require.NotContains(t, page, w, resin)
		}
		require.Equal(t, 1, strings.Count(html.UnescapeString(page), paper.CareOf(resin).Cautions[0]))
	}
	rec := spreadRecord()
	rec.Laminating = nil
	require.Contains(t, render(t, rec), "Mix resin only as its data sheet says")
}
