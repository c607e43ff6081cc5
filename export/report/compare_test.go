package report

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
)

func compared(t testing.TB, runs ...Run) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, WriteCompare(&b, runs...))
	return b.String()
}

func TestCompareTakesTwoRuns(t *testing.T) {
	require.Error(t, WriteCompare(io.Discard))
	require.Error(t, WriteCompare(io.Discard, Run{Name: "a", Record: sample.Record(sample.Options{})}))
	require.Error(t, WriteCompare(io.Discard, Run{Name: "a"}, Run{Name: "b"}))
}

func TestCompareMarksTheBestInWords(t *testing.T) {
	short, long := sample.Record(sample.Options{Table: 6500}), sample.Record(sample.Options{Table: 3000})
	page := compared(t, Run{Name: "long table", Record: short}, Run{Name: "short table", Record: long})
	if dir := os.Getenv("REPORT_OUT"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "compare.html"), []byte(page), 0o666))
	}
	require.Contains(t, page, "<b>best</b>")
	require.NotContains(t, page, "do not cut the same")
	require.NotContains(t, page, "<script")
	require.Equal(t, page, compared(t, Run{Name: "long table", Record: short}, Run{Name: "short table", Record: long}))
	tb := open(t, page, 1440, 900)
	tb.keep("compare1.png")
	tb.run("document.querySelectorAll('main>section')[1].scrollIntoView()")
	tb.keep("compare2.png")
	// Equal lengths on paper must be equal lengths on the screen.
	scales := js[[]float64](tb, "[...document.querySelectorAll('main>section:nth-of-type(2) .still')].map(s=>s.getScreenCTM().a)")
	require.Greater(t, len(scales), 2)
	for _, s := range scales {
		require.InDelta(t, scales[0], s, 0.01*scales[0])
	}
	tb.do(chromedp.EmulateViewport(390, 844))
	require.LessOrEqual(t, js[int](tb, "document.documentElement.scrollWidth"), 390)
	tb.keep("compare3.png")
	tb.quiet()
}

func TestCompareOfEqualPlansMarksNone(t *testing.T) {
	rec := sample.Record(sample.Options{})
	page := compared(t, Run{Name: "a", Record: rec}, Run{Name: "b", Record: rec})
	require.NotContains(t, page, "<b>best</b>")
	require.Contains(t, page, "All take")
}

func TestCompareSaysWherePliesDiffer(t *testing.T) {
	page := compared(t, Run{Name: "two", Record: sample.Record(sample.Options{})}, Run{Name: "three", Record: sample.Record(sample.Options{Units: 3})})
	require.Contains(t, page, "three does not cut the same plies as two: 0 pieces missing, 76 pieces more")
}

func TestCompareHostileNames(t *testing.T) {
	rec := sample.Record(sample.Options{Name: func(s string) string { return evil + s }})
	page := compared(t, Run{Name: evil, Record: rec}, Run{Record: sample.Record(sample.Options{})})
	require.Zero(t, strings.Count(page, "<script"))
	require.NotContains(t, page, "<img")
	tb := open(t, page, 1200, 800)
	require.Zero(t, js[int](tb, "document.querySelectorAll('img,script').length"))
	tb.quiet()
}
