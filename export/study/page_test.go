package study

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"context"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"plyroom/nest/study"
)

// hostile is a name that would run, were it not escaped.
const hostile = `</style><script>alert(1)</script>"' onload=x`

// sample is a study of two widths and two gaps with three rules, by hand.
func sample(name string) *study.Table {
	num := func(v float64) *float64 { return &v }
	s := func(v ...float64) study.Sample { return study.NewSample(v) }
	picture := []study.Picture{{Fabric: name, Length: 900, Width: 500, Plies: [][]int{{20, 20, 400, 20, 400, 300, 20, 300}, {420, 20, 880, 20, 650, 480}}, Parts: []int{0, 9}}}
	t := &study.Table{Currency: "EUR", Parts: []string{name, "Lid"}, ByCost: true, Nests: 12, Done: 11, Missing: []string{"0a"},
		Spec: study.Spec{Job: name, Revision: "A", Effort: 1, Seeds: 2, Axes: []study.Axis{{Axis: "width", Target: name, Values: []string{"1000", "1270"}}, {Axis: "gap", Values: []string{"0", "3"}}}}}
	for i, w := range []string{"1000", "1270"} {
		for k, g := range []string{"0", "3"} {
			v := 5 + float64(i) - 0.2*float64(k)
			t.Rows = append(t.Rows, study.Row{
				Settings: []study.Setting{{Axis: "width", Target: name, Value: w}, {Axis: "gap", Value: g}}, Words: "width of " + name + " " + w,
				At: []*float64{num(1000 + 270*float64(i)), num(3 * float64(k))}, Sets: 1, Seeds: 2, Of: 2,
				Total:    study.Stat{Metres: s(v, v+0.1), Area: s(v, v+0.1), Cost: s(2*v, 2*v+0.2), Priced: true, Yield: s(0.7, 0.72), Bound: v - 0.5},
				Pictures: picture, Best: i == 0 && k == 1})
		}
	}
	t.Rows[2].Against = &study.Saving{Verdict: study.Saves}
	t.Rows[3].Against = &study.Saving{Verdict: study.Within}
	t.Rows[0].Seeds, t.Rows[0].Cannot = 0, "too wide"
	saving := func(mean, noise float64, v study.Verdict) study.Saving {
		return study.Saving{Sample: study.Sample{N: 2, Mean: mean}, Noise: noise, Verdict: v}
	}
	for i, v := range []study.Verdict{study.Saves, study.Within, study.Costs} {
		m := saving(1-float64(i), 0.4, v)
		t.Rules = append(t.Rules, study.RuleCost{Rule: study.Rule{Words: "rule of " + name, Setting: study.Setting{Axis: "gap"}}, Rank: i + 1, Seeds: 2, Of: 2, Metres: m, Area: m, Money: m, Priced: true})
	}
	t.Rules = append(t.Rules, study.RuleCost{Rule: study.Rule{Words: "not laid"}, Rank: 4, Of: 2, Cannot: "too wide\nand more"})
	return t
}

func page(t *testing.T, tb *study.Table) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, WritePage(&b, tb))
	return b.String()
}

// The page is well formed, whatever the names, and none of them becomes
// markup.
func TestNamesAreData(t *testing.T) {
	html := page(t, sample(hostile))
	require.NotContains(t, html, "<script")
	body := strings.Replace(html, "<!DOCTYPE html>", "", 1)
	dec := xml.NewDecoder(strings.NewReader(body))
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if el, ok := tok.(xml.StartElement); ok {
			require.NotEqual(t, "script", el.Name.Local)
			for _, a := range el.Attr {
				require.False(t, strings.HasPrefix(a.Name.Local, "on"), a.Name.Local)
			}
		}
	}
	require.Equal(t, html, page(t, sample(hostile)), "the same study gives the same bytes")
}

// The picture stands on its own: well-formed, without script, the names data.
func TestAnswer(t *testing.T) {
	for _, name := range []string{hostile, "WR 600"} {
		for _, rules := range []bool{true, false} {
			tb := sample(name)
			if !rules {
				tb.Rules = nil
				tb.Rows[0].Seeds = 2
			}
			require.True(t, HasAnswer(tb))
			var b bytes.Buffer
			require.NoError(t, WriteAnswer(&b, tb))
			dec := xml.NewDecoder(bytes.NewReader(b.Bytes()))
			seen := map[string]int{}
			for {
				tok, err := dec.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				require.NoError(t, err)
				if el, ok := tok.(xml.StartElement); ok {
					seen[el.Name.Local]++
					for _, a := range el.Attr {
						require.False(t, strings.HasPrefix(a.Name.Local, "on"), a.Name.Local)
					}
				}
			}
			require.Zero(t, seen["script"])
			require.Equal(t, 1, seen["style"])
			require.NotContains(t, b.String(), "var(", "colours are written out")
			require.Contains(t, b.String(), ".paper{fill:#fff}")
			if rules {
				require.Equal(t, 1+3, seen["rect"], "the ground and a bar for each rule that was laid")
				require.Contains(t, b.String(), "EUR per set saved where one rule is relaxed")
			} else {
				require.Equal(t, 3, seen["svg"], "cost and yield side by side")
				require.Contains(t, b.String(), `class="ring"`)
			}
			require.Contains(t, b.String(), "effort 1, seeds 0 to 1")
		}
	}
	tb := sample("x")
	tb.Rules, tb.Spec.Axes, tb.Rows = nil, nil, nil
	require.False(t, HasAnswer(tb))
	require.Equal(t, []string{"aa bb", "cccccccc", "d"}, wrapped(" aa bb cccccccc d", 5))
}

func TestTables(t *testing.T) {
	tb := sample("WR 600")
	var b bytes.Buffer
	require.NoError(t, Cases(tb).WriteCSV(&b))
	require.Contains(t, b.String(), "width_of_WR_600,gap,seeds,")
	require.Contains(t, b.String(), "cannot be laid: too wide")
	require.Contains(t, b.String(), "no telling from the least (noise)")
	b.Reset()
	require.NoError(t, Rules(tb).WriteCSV(&b))
	require.Contains(t, b.String(), "1,rule of WR 600,2,1.000,0.400,")
	require.Contains(t, b.String(), "no saving (the search did worse with more freedom)")
	says := strings.Join(InWords(tb), "\n")
	require.Contains(t, says, "1 of 12 nests have no result yet")
	require.Contains(t, says, "1 other case cannot be told from it")
	require.Contains(t, says, "saves 1.00 EUR ± 0.40 per set")
	tb.Spec.Seeds = 1
	require.Contains(t, strings.Join(InWords(tb), "\n"), "One seed says nothing of the noise")
}

// An empty study, or one of single values, still makes a page.
func TestBarePages(t *testing.T) {
	require.NotContains(t, page(t, &study.Table{Spec: study.Spec{Job: "J"}}), "Curves")
	tb := sample("F")
	tb.Rows = tb.Rows[1:2]
	tb.Rules = nil
	require.NotContains(t, page(t, tb), ">Curves<")
}

func TestTicks(t *testing.T) {
	require.Equal(t, []float64{0, 2, 4, 6, 8, 10}, ticks(0, 10, 5))
	require.Equal(t, []float64{-0.2, 0, 0.2}, []float64{ticks(-0.25, 0.3, 5)[0], ticks(-0.25, 0.3, 3)[1], 0.2})
	require.Empty(t, ticks(1, 1, 5))
}

// TestPageInBrowser opens the page and listens for complaints: a policy that
// refuses its own style sheet, or anything fetched, is one.
func TestPageInBrowser(t *testing.T) {
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("SKIPPED: no chromium on this machine, the page was not opened in a browser")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Flag("disable-gpu", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	defer stop()
	ctx, cancel := chromedp.NewContext(alloc)
	defer cancel()
	ctx, late := context.WithTimeout(ctx, 60*time.Second)
	defer late()
	_ = ctx
	var mu sync.Mutex
	var faults []string
	hear := func(ev any) {
		mu.Lock()
		defer mu.Unlock()
		switch ev := ev.(type) {
		case *log.EventEntryAdded:
			faults = append(faults, ev.Entry.Text)
		case *runtime.EventExceptionThrown:
			faults = append(faults, ev.ExceptionDetails.Text)
		case *network.EventRequestWillBeSent:
			if u := ev.Request.URL; !strings.HasPrefix(u, "file:") && !strings.HasPrefix(u, "data:") {
				faults = append(faults, "asked for "+u)
			}
		}
	}
	file := filepath.Join(t.TempDir(), "study.html")
	require.NoError(t, os.WriteFile(file, []byte(page(t, sample(hostile))), 0o644))
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank")))
	require.NoError(t, chromedp.Listen(ctx, hear))
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("file://"+file)))
	styled, err := chromedp.Run(ctx, chromedp.Evaluate[string](`getComputedStyle(document.querySelector("h2")).fontWeight + " " + document.querySelectorAll("svg.chart").length + " " + document.querySelectorAll("svg.layout").length`))
	require.NoError(t, err)
	require.Equal(t, "800 5 3", styled, "a case that cannot be laid has no picture")
	mu.Lock()
	defer mu.Unlock()
	require.Empty(t, faults)
}
