package drawing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes/geom"
)

// cog is a ring of n vertices, alternately 900 and 1000 mm from (2000, 2000).
func cog(n int) orb.Ring {
	r := make(orb.Ring, n)
	for i := range r {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := 900 + 100*float64(i%2)
		r[i] = orb.Point{2000 + d*c, 2000 + d*s}
	}
	return r
}

// largeSize is n, or less where the tests must be quick.
func largeSize(n int) int {
	if testing.Short() {
		return n / 20
	}
	return n
}

func TestLargeOutlines(t *testing.T) {
	r := cog(largeSize(50_000))
	var poly, path strings.Builder
	poly.WriteString(pairs(0, "LWPOLYLINE", 90, len(r), 70, 1))
	for i, p := range r {
		fmt.Fprintf(&poly, "10\n%.9g\n20\n%.9g\n", p[0], p[1])
		fmt.Fprintf(&path, "%c%.9g %.9g", "ML"[min(i, 1)], p[0], -p[1])
	}
	few := cog(largeSize(20_000))
	loose := make([]string, len(few))
	for i, p := range few {
		q := few[(i+1)%len(few)]
		loose[i] = fmt.Sprintf("0\nLINE\n10\n%.9g\n20\n%.9g\n11\n%.9g\n21\n%.9g\n", p[0], p[1], q[0], q[1])
	}
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(loose), func(i, j int) { loose[i], loose[j] = loose[j], loose[i] })
	for name, doc := range map[string]string{
		"LWPOLYLINE": dxfPage("", poly.String()),
		"path":       svgPage(`<path d="` + path.String() + `z"/>`),
		"LINE":       dxfPage("", strings.Join(loose, "")),
	} {
		t.Run(name, func(t *testing.T) {
			begin := time.Now()
			d := readString(t, doc, Options{})
			t.Logf("%d vertices in %v", len(r), time.Since(begin))
			require.Len(t, d.Outlines, 1)
			assert.InEpsilon(t, geom.Area(r), d.Outlines[0].Area, 1e-3)
			assert.Less(t, time.Since(begin), time.Minute)
		})
	}
}

func insertsPage(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "0\nINSERT\n2\nLIP\n10\n%d\n20\n%d\n", 120*(i%300), 120*(i/300))
	}
	return dxfPage(block("LIP", 0, 0, square+dxfLine(10, 10, 90, 10)), b.String())
}

func BenchmarkInserts(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		doc := insertsPage(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if d, err := ReadFrom(strings.NewReader(doc), "a.dxf", Options{}); err != nil || len(d.Outlines) != n {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPolyline(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		var doc strings.Builder
		doc.WriteString(pairs(0, "LWPOLYLINE", 90, n, 70, 1))
		for _, p := range cog(n) {
			fmt.Fprintf(&doc, "10\n%.9g\n20\n%.9g\n", p[0], p[1])
		}
		page := dxfPage("", doc.String())
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if d, err := ReadFrom(strings.NewReader(page), "a.dxf", Options{}); err != nil || len(d.Outlines) != 1 {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestManyInserts(t *testing.T) {
	n := largeSize(10_000)
	doc := insertsPage(n)
	begin := time.Now()
	d := readString(t, doc, Options{})
	t.Logf("%d references in %v", n, time.Since(begin))
	assert.Len(t, d.Outlines, n)
	assert.Less(t, time.Since(begin), time.Minute)
	assert.LessOrEqual(t, len(d.Problems), MaxProblems+1)
}

// A large outline with a great many cut-outs and texts in it.
func TestManyCutOuts(t *testing.T) {
	n := largeSize(5_000)
	var b strings.Builder
	side := int(math.Sqrt(float64(n)))
	for i := range n {
		fmt.Fprintf(&b, "0\nCIRCLE\n10\n%g\n20\n%g\n40\n2\n", 1500+1000*float64(i%side)/float64(side), 1500+980*float64(i/side)/float64(side))
		fmt.Fprintf(&b, "0\nTEXT\n10\n%g\n20\n%g\n40\n1\n1\nx\n", 1503+1000*float64(i%side)/float64(side), 1503+980*float64(i/side)/float64(side))
	}
	r := cog(largeSize(20_000))
	b.WriteString(pairs(0, "LWPOLYLINE", 90, len(r), 70, 1))
	for _, p := range r {
		fmt.Fprintf(&b, "10\n%.9g\n20\n%.9g\n", p[0], p[1])
	}
	begin := time.Now()
	d := readString(t, dxfPage("", b.String()), Options{})
	t.Logf("%d cut-outs in %v", n, time.Since(begin))
	require.Len(t, d.Outlines, 1)
	assert.Len(t, d.Outlines[0].Holes, n)
	assert.Less(t, time.Since(begin), time.Minute)
}

// Drawings made to take long: each must end soon, read or refused.
func TestSpitefulDrawings(t *testing.T) {
	n := largeSize(2_000)
	build := func(f func(i int) string) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(f(i))
		}
		return b.String()
	}
	fan := func(i int) (x, y float64) {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		return 1000 * c, 1000 * s
	}
	for _, c := range []struct{ name, doc string }{
		{"fan of lines", dxfPage("", build(func(i int) string { x, y := fan(i); return dxfLine(0, 0, x, y) }))},
		{"hatching", dxfPage("", build(func(i int) string {
			d := float64(i%(n/2)) / float64(n) * 1000
			if i < n/2 {
				return dxfLine(d, 0, d+500, 900)
			}
			return dxfLine(d, 900, d+500, 0)
		}))},
		{"concentric circles", dxfPage("", build(func(i int) string { return pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 1+0.1*float64(i)) }))},
		{"squares from one corner", dxfPage("", build(func(i int) string {
			d := 10 + 0.1*float64(i)
			return lwpoly(0, 0, 0, d, 0, 0, d, d, 0, 0, d, 0)
		}))},
		{"the same circle", dxfPage("", strings.Repeat(pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 10), n))},
		{"the same line", dxfPage("", strings.Repeat(dxfLine(0, 0, 100, 0), n))},
		{"lines growing over one another", dxfPage("", build(func(i int) string { return dxfLine(0, 0, 1+float64(i), 0) }))},
		{"nested groups of style", svgPage(`<style>` + build(func(i int) string { return fmt.Sprintf(".a%d, rect{display:inline}", i) }) + `</style>` + build(func(int) string { return `<rect class="b" width="9" height="9"/>` }))},
		{"styles by descent", svgPage(`<style>g g g g g .x rect, rect ~ rect ~ rect ~ rect ~ .y + rect {display:none}</style>` + strings.Repeat("<g>", 100) + build(func(int) string { return `<rect width="9" height="9"/>` }) + strings.Repeat("</g>", 100))},
		{"texts in one place", dxfPage("", square+build(func(i int) string { return pairs(0, "TEXT", 10, 50, 20, 50, 40, 5, 1, i) }))},
		{"zigzag over a cog", dxfPage("", square+pairs(0, "LWPOLYLINE", 70, 0)+build(func(i int) string { return pairs(10, float64(i)*100/float64(n), 20, 110*(i%2)-5) }))},
	} {
		t.Run(c.name, func(t *testing.T) {
			begin := time.Now()
			d, _ := ReadFrom(strings.NewReader(c.doc), "a", Options{})
			t.Logf("%v, %d outlines, %d problems", time.Since(begin), len(d.Outlines), len(d.Problems))
			assert.Less(t, time.Since(begin), time.Minute)
		})
	}
}
