package kitlist_test

import (
	"bytes"
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/internal/sample"
	"plyroom/export/kitlist"
	"plyroom/export/paper"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

func pdf(t *testing.T, k *kit.Kit, s kitlist.Settings) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, kitlist.WritePDF(&b, k, s))
	return b.Bytes()
}

// pages is the text of a kit list, page by page; the test is skipped where
// there is no program to read it with.
func pages(t *testing.T, k *kit.Kit, s kitlist.Settings) []string {
	t.Helper()
	all := strings.Split(read(t, pdf(t, k, s)), "\f")
	return all[:len(all)-1]
}

// read is the text of a document.
func read(t *testing.T, data []byte) string {
	t.Helper()
	path, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("NOT TESTED: pdftotext is not installed (Debian package poppler-utils)")
	}
	cmd := exec.Command(path, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	require.NoError(t, err)
	return string(out)
}

// squeeze makes runs of space one.
func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestPDFSameBytesTwice(t *testing.T) {
	a, b := kits(t, sample.Options{}), kits(t, sample.Options{})
	assert.True(t, bytes.Equal(pdf(t, &a[0], kitlist.Settings{}), pdf(t, &b[0], kitlist.Settings{})))
}

func TestPDFSays(t *testing.T) {
	k := &kits(t, sample.Options{})[1]
	p := pages(t, k, kitlist.Settings{Notes: []string{"CSM 450 is a mat"}})
	text := squeeze(strings.Join(p, "\n"))
	for _, want := range []string{
		"KIT LIST", "Upper shell", "2 of 2", "kit 2 of 8", "Hub fairing, 9 kW turbine", "Job revision C · drawings B",
		"Pile each bag from its last order up, so that its first lies on top. Lay order 1 first, against the tool.",
		"WET SET 1 · orders 1–4 · about 38 min · mix 2.33 kg resin in 1 mix estimate",
		"1120 × 880 mm · 0.918 m²", "±3°", "+45°", "−45°", "OPPOSITE HAND", "TURN OVER", "FACE UP",
		"roll R-2207", "lot 2231-B", "roll not named", "bag 2, rolled, NO FOLD",
		"The stack", "about 9.4 mm where all orders meet (estimate)",
		"Fabric in this kit", "Wet sets and mixes (estimates)",
		"vinyl ester; pace 6 kg laminate per hour; working time 60 min, 75 % of it planned (45",
		"Bag T1 1 ", "Bag 2 2–12 ", "bag T1, ", "24 tags in this kit", "counted out", "back before wet-out",
		"Cut", "Kitted", "Checked", "Laid", "resin batch", "initiator batch",
		"CSM 450 is a mat", "Direction Mass, thickness Comes from",
	} {
		assert.Contains(t, text, want)
	}
	for _, c := range kitlist.Cautions("vinyl ester") {
		assert.Equal(t, 1, strings.Count(text, c), "once per document: %s", c)
	}
	assert.NotContains(t, text, "□")
	for i, page := range p {
		assert.Contains(t, page, fmt.Sprintf("page %d of %d", i+1, len(p)))
	}
}

// Kit list and cutting room speak of what the job's resin needs, once.
func TestPDFResin(t *testing.T) {
	for _, c := range []struct {
		resin        string
		says, silent []string
	}{
		{"epoxy", []string{"hardener batch", "mix ratio"}, []string{"styrene", "nitiator", "ccelerator"}},
		{"phenolic", []string{"other batches", "mix ratio or %"}, []string{"styrene", "initiator %", "hardener"}},
		{"polyester", []string{"initiator batch", "initiator %"}, []string{"hardener", "mix ratio"}},
	} {
		rec := sample.Record(sample.Options{Units: 1})
		rec.Laminating.Resin = c.resin
		ks, err := kit.Build(rec)
		require.NoError(t, err)
		list := squeeze(strings.Join(pages(t, &ks[0], kitlist.Settings{}), "\n"))
		for _, w := range c.says {
			assert.Contains(t, list, w, c.resin)
		}
		walk := squeeze(read(t, room(t, kitlist.Room{Kits: ks})))
		for _, text := range []string{list, walk} {
			for _, caution := range kitlist.Cautions(c.resin) {
				assert.Equal(t, 1, strings.Count(text, caution), "%s, once per document: %s", c.resin, caution)
			}
			for _, w := range c.silent {
				assert.NotContains(t, text, w, c.resin)
			}
		}
	}
}

// A note stands under the row of its ply and nowhere else: once for copies that
// follow each other, and once more on a further page.
func TestPDFNotes(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	note := map[string]string{"U02": "no air at the darts", "U10": "corners " + strings.Repeat("round ", 60) + "off"}
	for i := range rec.Demand {
		rec.Demand[i].Note = note[rec.Demand[i].Ply]
	}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	text := squeeze(strings.Join(pages(t, &ks[0], kitlist.Settings{}), "\n"))
	assert.Regexp(t, `1120 × 880 mm · 0.918 m² cured 0.78 mm lot 2240-A \S+, bag 2 Note: no air at the darts U03`, strings.ReplaceAll(text, "bag 2, flat", "flat, bag 2"))
	assert.Equal(t, 1, strings.Count(text, "no air at the darts"))
	assert.Equal(t, 1, strings.Count(text, "Note on all 4: corners round"))
	assert.Equal(t, 60, strings.Count(text, "round "), "a long note is printed in full")
	assert.NotContains(t, text, "Notes")

	for i := range rec.Demand {
		rec.Demand[i].Ply, rec.Demand[i].Order, rec.Demand[i].Copy = "P", 1, i+1
		rec.Demand[i].Note = "all alike"
	}
	rec.Layouts, rec.Laminating = nil, nil
	ks, err = kit.Build(rec)
	require.NoError(t, err)
	p := pages(t, &ks[0], kitlist.Settings{})
	listed := 0
	for _, page := range p {
		if strings.Contains(page, "As laid") && strings.Contains(page, " of 24") {
			listed++
			assert.Equal(t, 1, strings.Count(page, "Note on all 24: all alike"))
		}
	}
	assert.Equal(t, 2, listed)
}

// A note longer than a page goes on overleaf.
func TestPDFEndlessNote(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	rec.Demand[3].Note = strings.Repeat("press down well ", 900)
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	text := squeeze(strings.Join(pages(t, &ks[0], kitlist.Settings{}), "\n"))
	assert.Equal(t, 900, strings.Count(text, "press"))
}

// A long name of a bag is cut short; that the ply is rolled and not folded is
// not.
func TestPDFLongBagName(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	for i := range rec.Demand {
		rec.Demand[i].Bag = "tube by the third window on the left"
	}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	assert.Regexp(t, `bag tu\S*…\S*t, rolled, NO FOLD\n`, strings.Join(pages(t, &ks[0], kitlist.Settings{}), "\n"))
}

// Every piece stands in the list, in lay-up order, and the last order lies on
// top of the stack.
func TestPDFOrder(t *testing.T) {
	k := &kits(t, sample.Options{Units: 1, Repeat: 7})[0]
	require.Greater(t, k.Lines[len(k.Lines)-1].Demand.Order, 80)
	p := pages(t, k, kitlist.Settings{})
	require.Greater(t, len(p), 5)
	text := strings.Join(p, "\n")
	list, stack, found := strings.Cut(text, "The stack")
	require.True(t, found)
	at := 0
	for _, l := range k.Lines {
		name := regexp.MustCompile(regexp.QuoteMeta(l.Demand.Ply) + `(\s|$)`).FindStringIndex(list[at:])
		require.NotNil(t, name, "%s after the ply before it", l.Demand.Ply)
		at += name[1]
	}
	for _, l := range k.Lines {
		if len(l.Demand.Ply) < 8 {
			assert.Contains(t, stack, l.Demand.Ply)
		}
	}
	for _, page := range p[1:] {
		assert.Contains(t, page, "unit 1 of 1")
	}
	for _, page := range p[:len(p)-3] {
		assert.Contains(t, squeeze(page), "Order As laid Ply, fabric, size Direction Mass, thickness Comes from Handling")
	}
}

// Worked case 3 in print: totals, thickness, wet sets at 75 %.
func TestPDFEightPlies(t *testing.T) {
	square := nest.Polygon{Outline: nest.Ring{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}}}
	glass := func(name string, c shapes.Construction, w, psi float64) shapes.Fabric {
		return shapes.Fabric{Name: name, Construction: c, ArealMass: w, GlassContent: psi, FibreDensity: 2.56}
	}
	rec := &nest.Record{
		Job: "Eight", Parts: []nest.Part{{Part: "Panel", Units: 1}},
		Shapes: []nest.Shape{{ID: "S", Net: square, Cut: square}},
		Fabrics: []shapes.Fabric{
			glass("CSM 300", shapes.Mat, 300, .30), glass("CSM 450", shapes.Mat, 450, .30),
			glass("WR 600", shapes.Plain, 600, .48), glass("BX 600", shapes.Biaxial, 600, .50),
		},
		Laminating: &shapes.Laminating{WorkingTime: 60, PlanAt: 0.75, Pace: 6},
	}
	for i, f := range []string{"CSM 300", "CSM 450", "WR 600", "CSM 450", "BX 600", "CSM 450", "WR 600", "CSM 300"} {
		rec.Demand = append(rec.Demand, nest.Demand{Part: "Panel", Unit: 1, Order: i + 1, Ply: fmt.Sprint("P", i+1), Copy: 1, Fabric: f, Shape: "S"})
	}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	p := pages(t, &ks[0], kitlist.Settings{Paper: paper.Letter})
	text := squeeze(strings.Join(p, "\n"))
	for _, want := range []string{
		"about 6.8 mm where all orders meet", "total 8 8.000 3.750 6.450",
		"WET SET 1 · orders 1–3 · about 38 min", "WET SET 2 · orders 4–6 · about 42 min", "WET SET 3 · orders 7–8",
		"0.450 kg", "1.050 kg", "cured 1.05 mm", "cured 0.70 mm", "cured 0.78 mm", "cured 0.73 mm",
		"SHORT: 8 pieces are not placed on any fabric. Do not start this kit.",
	} {
		assert.Contains(t, text, want)
	}
}

func TestPDFShortFilmAndSlowPlies(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	rec.Fabrics = append(rec.Fabrics,
		shapes.Fabric{Name: "Foam 10", Construction: shapes.Core}, shapes.Fabric{Name: "Peel ply", Construction: shapes.Film})
	rec.Demand[4].Fabric, rec.Demand[11].Fabric = "Foam 10", "Peel ply"
	rec.Demand[2].Panel = &nest.Panel{Ply: "U03", Number: 1, Of: 2, Joint: shapes.JointLap, Overlap: 50, Seams: []float64{200}, AxisDeg: 30}
	rec.Laminating.WorkingTime, rec.Laminating.Waste = 10, 0.1
	short := rec.Layouts[0].Placed[0]
	rec.Layouts[0].Placed = rec.Layouts[0].Placed[1:]
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	for i := range ks {
		if ks[i].Part != short.Part {
			continue
		}
		text := squeeze(strings.Join(pages(t, &ks[i], kitlist.Settings{}), "\n"))
		assert.Contains(t, text, fmt.Sprintf("SHORT: 1 piece is not placed on any fabric. Do not start this kit. Missing: %d %s.", short.Order, short.Ply))
	}
	text := squeeze(strings.Join(pages(t, &ks[0], kitlist.Settings{}), "\n"))
	for _, want := range []string{
		"no fibre", "panel 1/2", "bag 2, flat, lap 50 mm", "10 % of the mix stays in pots and on tools",
		"Plies that outlast the planned working time (estimates)",
		"Order 2, U02: about 11 min, 8 min planned. Needs more hands: a pace of 9.2 kg/h; or a slower resin: 16 min working time; or split the ply into 2 panels.",
	} {
		assert.Contains(t, text, want)
	}
}

func TestPDFHostileNames(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1, Name: func(s string) string {
		return "<b>" + s + " Ωmega Жук 日本語 \u202e \n\"quoted\" and quite long, longer than any column could hold"
	}})
	text := squeeze(strings.Join(pages(t, &ks[0], kitlist.Settings{}), "\n"))
	assert.Contains(t, text, "<b>Upper shell Ωmega Жук □□□")
	assert.Contains(t, text, "Names here hold characters that cannot be printed and are shown as □ (U+65E5, U+672C, U+8A9E); the CSV has them in full.")
}

// One ply, one page.
func TestPDFOnePly(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	d := rec.Demand[0]
	rec.Demand, rec.Layouts, rec.Laminating = []nest.Demand{d}, nil, nil
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	p := pages(t, &ks[0], kitlist.Settings{})
	require.Len(t, p, 1)
	assert.Contains(t, p[0], "page 1 of 1")
}

// Whatever the names, figures and shapes, a list is printed.
func TestPDFAnyRecord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		if testing.Short() {
			return
		}
		f := shapes.Fabric{Name: rapid.String().Draw(t, "fabric"), Construction: rapid.SampledFrom(shapes.Constructions).Draw(t, "construction"),
			ArealMass: rapid.Float64Range(0, 1e6).Draw(t, "w"), GlassContent: rapid.Float64Range(0, 1).Draw(t, "psi")}
		var ring nest.Ring
		for range rapid.IntRange(0, 6).Draw(t, "vertices") {
			ring = append(ring, nest.Point{rapid.Float64Range(-1e6, 1e6).Draw(t, "x"), rapid.Float64Range(-1e6, 1e6).Draw(t, "y")})
		}
		rec := &nest.Record{
			Job: rapid.String().Draw(t, "job"), Revision: rapid.String().Draw(t, "revision"),
			Fabrics: []shapes.Fabric{f}, Parts: []nest.Part{{Part: "P", Units: 1}},
			Shapes: []nest.Shape{{ID: "S", Net: nest.Polygon{Outline: ring}, Cut: nest.Polygon{Outline: ring}}},
			Laminating: &shapes.Laminating{Pace: rapid.Float64Range(0, 100).Draw(t, "pace"), WorkingTime: rapid.Float64Range(0, 100).Draw(t, "time"),
				MixLimit: rapid.Float64Range(0, 10).Draw(t, "limit")},
		}
		for i := range rapid.IntRange(1, 3).Draw(t, "plies") {
			rec.Demand = append(rec.Demand, nest.Demand{Part: "P", Unit: 1, Order: i + 1, Ply: rapid.String().Draw(t, "ply"), Copy: i + 1,
				Fabric: f.Name, Shape: "S", DirectionDeg: rapid.Float64Range(-90, 90).Draw(t, "direction"), Note: rapid.String().Draw(t, "note")})
		}
		ks, err := kit.Build(rec)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := kitlist.WritePDF(&b, &ks[0], kitlist.Settings{}); err != nil {
			t.Fatal(err)
		}
	})
}
