package report

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// browser starts headless Chromium once for all tests of the package.
var browser = sync.OnceValues(func() (context.Context, error) {
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		return nil, nil
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Flag("disable-gpu", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, cancel := chromedp.NewContext(alloc)
	stopBrowser = func() { cancel(); stop() }
	return ctx, chromedp.Do(ctx, chromedp.Navigate("about:blank"))
})

var stopBrowser = func() {}

func TestMain(m *testing.M) {
	code := m.Run()
	stopBrowser()
	os.Exit(code)
}

// A tab is one page open in the browser, and what it complained about.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu       sync.Mutex
	faults   []string
	requests []string
}

// open shows a page from a file and keeps what it says on the console and what
// it asks for. It skips the test, in words, where no browser is found.
func open(t *testing.T, html string, width, height int64) *tab {
	t.Helper()
	root, err := browser()
	require.NoError(t, err)
	if root == nil {
		t.Skip("SKIPPED: no chromium on this machine, the page was not opened in a browser")
	}
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, []byte(html), 0o666))
	ctx, cancel := chromedp.NewContext(root)
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 60*time.Second)
	t.Cleanup(stop)
	tb := &tab{t: t, ctx: ctx}
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, height)))
	require.NoError(t, chromedp.Listen(ctx, tb.hear))
	_, err = chromedp.Call(ctx, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
	require.NoError(t, err)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("file://"+file)))
	return tb
}

func (tb *tab) hear(ev any) {
	tb.mu.Lock()
	defer tb.mu.Unlock()
	switch ev := ev.(type) {
	case *runtime.EventExceptionThrown:
		tb.faults = append(tb.faults, "exception: "+ev.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		tb.faults = append(tb.faults, fmt.Sprintf("console %s", ev.Type))
	case *log.EventEntryAdded:
		tb.faults = append(tb.faults, "log: "+ev.Entry.Text)
	case *cdppage.EventJavascriptDialogOpening:
		tb.faults = append(tb.faults, "dialog: "+ev.Message)
	case *network.EventRequestWillBeSent:
		if !strings.HasPrefix(ev.Request.URL, "data:") {
			tb.requests = append(tb.requests, ev.Request.URL)
		}
	}
}

// quiet fails the test where the page wrote to the console, opened a dialog, or
// asked for anything but itself.
func (tb *tab) quiet() {
	tb.t.Helper()
	tb.mu.Lock()
	defer tb.mu.Unlock()
	require.Empty(tb.t, tb.faults)
	require.Len(tb.t, tb.requests, 1, "requests: %v", tb.requests)
	require.True(tb.t, strings.HasPrefix(tb.requests[0], "file://"))
}

func js[T any](tb *tab, expr string) T {
	tb.t.Helper()
	v, err := chromedp.Run(tb.ctx, chromedp.Evaluate[T](expr))
	require.NoError(tb.t, err, expr)
	return v
}

func (tb *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	tb.t.Helper()
	require.NoError(tb.t, chromedp.Do(tb.ctx, steps...))
}

// run evaluates a statement.
func (tb *tab) run(stmt string) {
	tb.t.Helper()
	js[bool](tb, "(()=>{"+stmt+"})(),true")
}

// middle is where an element is on the screen, after it was scrolled there.
func (tb *tab) middle(sel string) (x, y float64) {
	tb.t.Helper()
	p := js[[]float64](tb, `(()=>{const e=document.querySelector(`+quote(sel)+`);e.scrollIntoView({block:'center'});
		const b=e.getBoundingClientRect();return [b.x+b.width/2,b.y+b.height/2]})()`)
	return p[0], p[1]
}

// spot is where the name of a ply is on the screen: surely on the ply.
func (tb *tab) spot(n int) (x, y float64) { return tb.middle(fmt.Sprintf("#p%d .nm", n)) }

func (tb *tab) hover(x, y float64) {
	tb.t.Helper()
	tb.do(chromedp.MouseEvent(chromedp.MouseMoved, x-1, y-1), chromedp.MouseEvent(chromedp.MouseMoved, x, y))
}

// touch sends one touch event; no points end the touch.
func (tb *tab) touch(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
	tb.t.Helper()
	if points == nil {
		points = []*input.TouchPoint{}
	}
	_, err := chromedp.Call(tb.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	require.NoError(tb.t, err)
}

func (tb *tab) tap(x, y float64) {
	tb.t.Helper()
	tb.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
	tb.touch(input.DispatchTouchEventTypeTouchEnd)
}

// pinch puts two fingers down side by side and moves them apart.
func (tb *tab) pinch(x, y, from, to float64) {
	tb.t.Helper()
	first, second := 1.0, 2.0
	two := func(d float64) []*input.TouchPoint {
		return []*input.TouchPoint{{X: x - d, Y: y, ID: &first}, {X: x + d, Y: y, ID: &second}}
	}
	tb.touch(input.DispatchTouchEventTypeTouchStart, two(from)...)
	for k := 1.0; k <= 4; k++ {
		tb.touch(input.DispatchTouchEventTypeTouchMove, two(from+(to-from)*k/4)...)
	}
	tb.touch(input.DispatchTouchEventTypeTouchEnd)
}

func quote(s string) string { return fmt.Sprintf("%q", s) }

func (tb *tab) media(features ...*emulation.MediaFeature) {
	tb.t.Helper()
	_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
	require.NoError(tb.t, err)
}

// busy is how long the main thread of the page's process has worked.
func (tb *tab) busy() time.Duration {
	tb.t.Helper()
	res, err := chromedp.Call(tb.ctx, performance.GetMetrics, cdp.Empty{})
	require.NoError(tb.t, err)
	for _, m := range res.Metrics {
		if m.Name == "ThreadTime" {
			return time.Duration(m.Value * 1e9)
		}
	}
	tb.t.Fatalf("no ThreadTime among %v", res.Metrics)
	return 0
}

// keep writes a screenshot for looking at, where REPORT_OUT names a folder.
func (tb *tab) keep(name string) {
	tb.t.Helper()
	dir := os.Getenv("REPORT_OUT")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(tb.ctx, chromedp.CaptureScreenshot())
	require.NoError(tb.t, err)
	require.NoError(tb.t, os.WriteFile(filepath.Join(dir, name), png, 0o666))
}
