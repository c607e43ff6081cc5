package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"golang.org/x/term"

	"plyroom/nest/plan"
)

// progress shows how the search goes: a bar on a terminal, otherwise a plain
// line when a fabric begins and when its layout has become clearly shorter.
type progress struct {
	w       io.Writer
	started time.Time
	pool    *mpb.Progress
	bar     *mpb.Bar
	now     plan.Progress
	told    map[string]float64
	stage   string // which of several nests it is
}

const barSteps = 1000

func newProgress(w io.Writer) *progress {
	p := &progress{w: w, started: time.Now(), told: map[string]float64{}}
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		p.pool = mpb.New(mpb.WithOutput(w), mpb.WithWidth(30))
		p.bar = p.pool.AddBar(barSteps,
			mpb.PrependDecorators(decor.Any(func(decor.Statistics) string { return p.stage + p.now.Fabric + " " })),
			mpb.AppendDecorators(decor.Any(func(decor.Statistics) string { return " " + figures(p.now) })),
		)
	}
	return p
}

func figures(n plan.Progress) string {
	if n.Length == 0 {
		return "first layout"
	}
	return fmt.Sprintf("%.3f m, yield %.1f %%, bound %.3f m", n.Length/1e3, n.Yield*100, n.Bound/1e3)
}

func (p *progress) update(n plan.Progress) {
	p.now = n
	if p.bar != nil {
		p.bar.SetCurrent(int64(n.Share * barSteps))
		return
	}
	// A plain log is told of gains of half a percent and more.
	if last, ok := p.told[n.Fabric]; !ok || n.Length < last*0.995 {
		p.told[n.Fabric] = n.Length
		fmt.Fprintf(p.w, "%5.1f s  %s: %s\n", time.Since(p.started).Seconds(), n.Fabric, figures(n))
	}
}

// begin tells which of several nests comes next: its number, how many there
// are, and what it lays.
func (p *progress) begin(n, of int, what string) {
	p.now, p.told = plan.Progress{}, map[string]float64{}
	if p.bar != nil {
		p.stage = fmt.Sprintf("%d of %d, ", n, of)
		p.bar.SetCurrent(0)
		return
	}
	fmt.Fprintf(p.w, "%5.1f s  nest %d of %d: %s\n", time.Since(p.started).Seconds(), n, of, what)
}

// done takes the bar off the screen.
func (p *progress) done() {
	if p.pool == nil {
		return
	}
	p.bar.Abort(true)
	p.pool.Wait()
}
