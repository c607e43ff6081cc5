package report

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/nest"
)

func spreadRecord() *nest.Record {
	rec := sample.Record(sample.Options{})
	sample.Spread(rec, "BX 600")
	return rec
}

func TestPageInBrowser(t *testing.T) {
	tb := open(t, render(t, spreadRecord()), 1440, 900)
	require.Equal(t, "yes", js[string](tb, "document.documentElement.dataset.ready||''"))
	tb.keep("desktop.png")

	t.Run("pointing at a ply lights its row", func(t *testing.T) {
		n := js[int](tb, `Number(document.querySelectorAll('.lay')[1].querySelectorAll('.pl')[3].id.slice(1))`)
		x, y := tb.spot(n)
		tb.hover(x, y)
		require.Equal(t, fmt.Sprintf("r%d", n), js[string](tb, "document.querySelector('tr.lit').id"))
		require.Equal(t, n, js[int](tb, "Number(document.querySelectorAll('.lay')[1].querySelector('.mark-lit').dataset.n)"))
		require.NotEmpty(t, js[string](tb, "document.querySelectorAll('.lay')[1].querySelector('.what').textContent"))
		tb.keep("hover.png")
	})
	t.Run("pointing at a row lights its ply", func(t *testing.T) {
		x, y := tb.middle("#r40 th")
		tb.hover(x, y)
		require.Equal(t, "r40", js[string](tb, "document.querySelector('tr.lit').id"))
		require.Equal(t, 40, js[int](tb, "Number(document.querySelector('.lay .mark-lit').dataset.n)"))
		require.Equal(t, 40, js[int](tb, "Number(document.querySelector('.stage .mark-lit').dataset.n)"))
		tb.keep("row.png")
	})
	t.Run("a row's link leads to its ply", func(t *testing.T) {
		x, y := tb.middle("#r12 a")
		tb.do(chromedp.MouseClickXY(x, y))
		require.Equal(t, 12, js[int](tb, "Number(document.querySelector('.lay .mark-lit').dataset.n)"))
		require.True(t, js[bool](tb, "document.activeElement.classList.contains('view')"))
		require.True(t, js[bool](tb, "(()=>{const b=document.querySelector('#p12').getBoundingClientRect();return b.top>=0&&b.bottom<=innerHeight})()"))
		tb.keep("link.png")
	})
	t.Run("keys zoom, step and show all", func(t *testing.T) {
		width := func() float64 {
			return js[float64](tb, "document.querySelectorAll('.pic')[1].viewBox.baseVal.width")
		}
		tb.run("document.querySelectorAll('.view')[1].focus()")
		whole := width()
		tb.do(chromedp.KeyEvent("+"), chromedp.KeyEvent("+"), chromedp.KeyEvent("+"))
		require.Less(t, width(), whole/2)
		left := js[float64](tb, "document.querySelectorAll('.pic')[1].viewBox.baseVal.x")
		tb.do(chromedp.KeyEvent(kb.ArrowRight))
		require.Greater(t, js[float64](tb, "document.querySelectorAll('.pic')[1].viewBox.baseVal.x"), left)
		tb.keep("zoom.png")
		tb.do(chromedp.KeyEvent("0"))
		require.InDelta(t, whole, width(), 0.1)
		tb.do(chromedp.KeyEvent("n"), chromedp.KeyEvent("n"))
		require.Equal(t, "#2", js[string](tb, "document.querySelectorAll('.pic')[1].querySelector('.mark-lit .no').textContent"))
		tb.do(chromedp.KeyEvent(kb.Enter))
		require.Equal(t, "TR", js[string](tb, "document.activeElement.tagName"))
		tb.do(chromedp.KeyEvent(kb.Escape))
	})
	t.Run("the wheel zooms a picture that was clicked, and no other", func(t *testing.T) {
		width := func() float64 {
			return js[float64](tb, "1/document.querySelectorAll('.pic')[2].getScreenCTM().a")
		}
		x, y := tb.middle("#layout2 .pic")
		whole := width()
		wheel := func() {
			tb.do(chromedp.MouseEvent(chromedp.MouseWheel, x, y, func(p *input.DispatchMouseEventParams) { p.DeltaX, p.DeltaY = 0.01, -120 }))
			time.Sleep(60 * time.Millisecond)
		}
		wheel()
		require.InDelta(t, whole, width(), 0.001)
		x, y = tb.middle("#layout2 .pic")
		tb.do(chromedp.MouseClickXY(x, y))
		wheel()
		require.Less(t, width(), whole)
		tb.do(chromedp.KeyEvent("0"))
	})
	t.Run("a zoomed picture is dragged", func(t *testing.T) {
		left := func() float64 { return js[float64](tb, "document.querySelectorAll('.pic')[1].viewBox.baseVal.x") }
		x, y := tb.middle("#layout1 .pic")
		tb.run("document.querySelectorAll('#layout1 [data-zoom=in]')[0].click()")
		before := left()
		button := func(p *input.DispatchMouseEventParams) { p.Button, p.Buttons = input.MouseButtonLeft, 1 }
		tb.do(chromedp.MouseEvent(chromedp.MousePressed, x, y, button),
			chromedp.MouseEvent(chromedp.MouseMoved, x-30, y, button),
			chromedp.MouseEvent(chromedp.MouseMoved, x-90, y, button),
			chromedp.MouseEvent(chromedp.MouseReleased, x-90, y, button))
		require.Greater(t, left(), before+100)
		tb.run("document.querySelectorAll('#layout1 [data-zoom=all]')[0].click()")
	})
	t.Run("filters", func(t *testing.T) {
		rows := func() int {
			return js[int](tb, "[...document.querySelectorAll('.kit:not([hidden]) tr[id]:not([hidden])')].length")
		}
		all := rows()
		tb.run("const s=document.getElementById('f-part');s.value='1';s.dispatchEvent(new Event('change'))")
		require.Less(t, rows(), all)
		require.Equal(t, js[int](tb, "document.querySelectorAll('.pl:not(.off)').length"), rows())
		tb.run("const s=document.getElementById('f-unit');s.value='2';s.dispatchEvent(new Event('change'))")
		require.Equal(t, 1, js[int](tb, "document.querySelectorAll('.kit:not([hidden])').length"))
		tb.run("scrollTo(0, document.querySelectorAll('.lay')[3].offsetTop-80)")
		tb.keep("filter.png")
		tb.run("for(const id of ['f-part','f-unit']){const s=document.getElementById(id);s.value='';s.dispatchEvent(new Event('change'))}")
		tb.run("const s=document.getElementById('f-text');s.value='r-0911 u05';s.dispatchEvent(new Event('input'))")
		time.Sleep(250 * time.Millisecond)
		require.Equal(t, 4, rows())
		tb.run("const s=document.getElementById('f-text');s.value='no such ply';s.dispatchEvent(new Event('input'))")
		time.Sleep(250 * time.Millisecond)
		require.False(t, js[bool](tb, "document.getElementById('none').hidden"))
		tb.run("const s=document.getElementById('f-text');s.value='';s.dispatchEvent(new Event('input'))")
		time.Sleep(250 * time.Millisecond)
		require.Equal(t, all, rows())
	})
	t.Run("switches", func(t *testing.T) {
		shown := func(sel string) bool {
			return js[bool](tb, "(()=>{const s=getComputedStyle(document.querySelector('"+sel+"'));return s.display!=='none'&&s.visibility!=='hidden'})()")
		}
		for sw, sel := range map[string]string{"names": ".lay .nm", "numbers": ".lay .no", "fibres": ".lay .fib", "scrap": ".lay .scr"} {
			before := shown(sel)
			require.Equal(t, sw != "scrap", before, sw)
			tb.run("document.querySelector('[data-show=" + sw + "]').click()")
			require.Equal(t, !before, shown(sel), sw)
			if sw == "scrap" {
				tb.run("document.getElementById('layout1').scrollIntoView()")
				tb.keep("scrap.png")
			}
			tb.run("document.querySelector('[data-show=" + sw + "]').click()")
		}
	})
	t.Run("a spread shows one layer at a time", func(t *testing.T) {
		tb.run("document.querySelector('#layout0 input[value=\"2\"]').click()")
		require.Equal(t, "2", js[string](tb, "document.querySelector('#layout0 .layer:not([display])').dataset.layer"))
		n := js[int](tb, "Number(document.querySelector('#layout0 .layer[data-layer=\"1\"] .pl').id.slice(1))")
		tb.run(fmt.Sprintf("document.querySelector('#r%d a').click()", n))
		require.Equal(t, "1", js[string](tb, "document.querySelector('#layout0 .layer:not([display])').dataset.layer"))
	})
	t.Run("ticks are counted and kept", func(t *testing.T) {
		tb.run("document.querySelector('#r3 .box input').click()")
		require.Equal(t, "1", js[string](tb, "document.querySelector('#kit0 output.got').textContent"))
		tb.do(chromedp.Reload())
		require.True(t, js[bool](tb, "document.querySelector('#r3 .box input').checked"))
		tb.mu.Lock()
		tb.requests = tb.requests[:1]
		tb.mu.Unlock()
	})
	tb.quiet()
}

func TestPageOnAPhone(t *testing.T) {
	tb := open(t, render(t, spreadRecord()), 390, 844)
	require.Empty(t, js[[]string](tb, `document.documentElement.scrollWidth<=innerWidth?[]:[...document.querySelectorAll('body *')].filter(e=>!e.closest('.scroll *, svg *')&&e.getBoundingClientRect().right>innerWidth).map(e=>e.outerHTML.slice(0,80))`), "the page scrolls sideways")
	tb.keep("phone1.png")
	tb.run("document.getElementById('layout1').scrollIntoView()")
	tb.keep("phone2.png")
	n := js[int](tb, `Number(document.querySelectorAll('.lay')[1].querySelectorAll('.pl')[2].id.slice(1))`)
	x, y := tb.spot(n)
	tb.tap(x, y)
	require.Equal(t, fmt.Sprintf("r%d", n), js[string](tb, "document.querySelector('tr.lit').id"))
	tb.keep("phone3.png")
	width := "document.querySelectorAll('.pic')[1].viewBox.baseVal.width"
	before := js[float64](tb, width)
	x, y = tb.middle("#layout1 .pic")
	tb.pinch(x, y, 30, 90)
	require.Less(t, js[float64](tb, width), 0.6*before)
	tb.keep("phone5.png")
	tb.run("document.getElementById('kit1').scrollIntoView()")
	tb.keep("phone4.png")
	tb.quiet()
}

func TestPageInTheDark(t *testing.T) {
	tb := open(t, render(t, spreadRecord()), 1440, 900)
	tb.media(&emulation.MediaFeature{Name: "prefers-color-scheme", Value: "dark"})
	tb.keep("dark1.png")
	tb.run("document.getElementById('layout1').scrollIntoView()")
	n := js[int](tb, `Number(document.querySelectorAll('.lay')[1].querySelectorAll('.pl')[3].id.slice(1))`)
	x, y := tb.spot(n)
	tb.hover(x, y)
	tb.keep("dark2.png")
	tb.run("document.getElementById('kit1').scrollIntoView()")
	tb.keep("dark3.png")
	tb.quiet()
}

func TestPageOnPaper(t *testing.T) {
	tb := open(t, render(t, spreadRecord()), 1200, 900)
	require.Zero(t, js[int](tb, "document.querySelectorAll('.strip use').length"), "strips are filled before there is paper")
	tb.run("dispatchEvent(new Event('beforeprint'))")
	require.Zero(t, js[int](tb, "[...document.querySelectorAll('.strip')].filter(s=>s.querySelectorAll('use').length!==2).length"))
	require.Positive(t, js[int](tb, "document.querySelectorAll('.strip .mark').length"))
	// Every ply that a strip shows stands in one of its textures, in full.
	require.Zero(t, js[int](tb, `[...document.querySelectorAll('.strip')].filter(s=>{
		const v=s.viewBox.baseVal, drawn=[...s.querySelectorAll('.tint')].map(p=>p.getAttribute('d')).join('');
		const layer=document.getElementById(s.dataset.use.split(' ')[1]);
		return [...layer.querySelectorAll('.cut')].some(c=>{
			const b=c.getBBox();
			return b.width>0 && b.x<v.x+v.width && b.x+b.width>v.x && !drawn.includes(c.getAttribute('d'));
		})}).length`))
	require.Equal(t, "none", js[string](tb, "getComputedStyle(document.querySelector('.pl .cut')).fill"))
	require.Zero(t, js[int](tb, "[...document.querySelectorAll('.strip use')].filter(u=>!document.querySelector(u.getAttribute('href'))).length"))
	tb.run("dispatchEvent(new Event('afterprint'))")
	require.NotEqual(t, "none", js[string](tb, "getComputedStyle(document.querySelector('.pl .cut')).fill"))
	papers, pages := map[string]chromedp.PaperSize{"a4": chromedp.PaperA4}, "1-4"
	if os.Getenv("REPORT_OUT") != "" {
		papers["letter"] = chromedp.PaperLetter
		pages = ""
	}
	for name, size := range papers {
		pdf, err := chromedp.Run(tb.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size), chromedp.PDFPageRanges(pages), chromedp.PDFPrintBackground()))
		require.NoError(t, err)
		require.Greater(t, len(pdf), 10000)
		if dir := os.Getenv("REPORT_OUT"); dir != "" {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name+".pdf"), pdf, 0o666))
		}
	}
	tb.quiet()
}

// Two layouts share a sheet and the kits are told in short, some fifty plies a
// page: paper is for an overview, the lists to work from are documents of their
// own.
func TestPaperIsNotWasted(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 2, Table: 6000})
	tb := open(t, render(t, rec), 1200, 900)
	for name, size := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
		pdf, err := chromedp.Run(tb.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size), chromedp.PDFPrintBackground()))
		require.NoError(t, err)
		pages := len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(pdf, -1))
		most := 3 + (len(rec.Layouts)+2)/2 + len(rec.Demand)/40 + 1
		t.Logf("%s: %d layouts and %d plies on %d pages", name, len(rec.Layouts), len(rec.Demand), pages)
		require.Positive(t, pages)
		require.LessOrEqual(t, pages, most, name)
	}
	tb.quiet()
}
