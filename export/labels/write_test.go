package labels_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/labels"
	"plyroom/export/paper"
	"plyroom/nest/kit"
)

func write(t *testing.T, ks []kit.Kit, s labels.Settings) []byte {
	t.Helper()
	var b bytes.Buffer
	_, err := labels.Write(&b, ks, s)
	require.NoError(t, err)
	return b.Bytes()
}

// tool finds a program of the system, or skips the test and says so.
func tool(t *testing.T, name, packaged string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("NOT TESTED: %s is not installed (Debian package %s)", name, packaged)
	}
	return path
}

// words is the text of a PDF, page after page.
func words(t *testing.T, pdf []byte) string {
	t.Helper()
	cmd := exec.Command(tool(t, "pdftotext", "poppler-utils"), "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	require.NoError(t, err)
	return string(out)
}

func TestSameBytesTwice(t *testing.T) {
	one, two := kits(t, sample.Options{Units: 1}), kits(t, sample.Options{Units: 1})
	assert.True(t, bytes.Equal(write(t, one[2:], labels.Settings{}), write(t, two[2:], labels.Settings{})))
}

func TestWords(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	text := words(t, write(t, ks, labels.Settings{}))
	tags, bags := labels.Count(ks, labels.Settings{})
	n, over, opposite := 0, 0, 0
	for i := range ks {
		for _, l := range ks[i].Lines {
			n++
			if l.Face() == kit.TurnOver {
				over++
			}
			if l.Demand.OppositeHand {
				opposite++
			}
		}
	}
	require.Positive(t, over)
	require.Positive(t, opposite)
	assert.Equal(t, n, tags)
	assert.Equal(t, n, strings.Count(text, labels.Remove))
	assert.Equal(t, over, strings.Count(text, kit.TurnOver))
	assert.Equal(t, n-over, strings.Count(text, kit.FaceUp))
	assert.Equal(t, opposite, strings.Count(text, kit.OppositeHand))
	assert.Equal(t, bags, len(regexp.MustCompile(`BAG \d+ of \d+|BAG T1`).FindAllString(text, -1)))
	assert.Equal(t, len(ks), strings.Count(text, "BAG T1"), "the job's name for the first bag of each kit")
	assert.Equal(t, len(ks), strings.Count(text, "1 of 2 in this kit"))
	assert.Contains(t, text, "· bag T1")
	assert.NotContains(t, text, "bag 1")
	assert.Contains(t, text, "23 tags")
	p := ks[0].Lines[0].Place
	require.NotEmpty(t, p.Roll)
	assert.Contains(t, text, "roll "+p.Roll+" · lot "+p.Lot)
	assert.Contains(t, text, "−45°")
	assert.Contains(t, text, "rolled, NO FOLD")
	assert.Contains(t, text, "orders 2–12; 2 on top")
}

// codes reads the QR codes of one page with an independent reader.
func codes(t *testing.T, pdf []byte, page, dpi string) []string {
	t.Helper()
	render, read := tool(t, "pdftoppm", "poppler-utils"), tool(t, "zbarimg", "zbar-tools")
	dir := t.TempDir()
	file := filepath.Join(dir, "labels.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o600))
	out, err := exec.Command(render, "-r", dpi, "-f", page, "-l", page, "-gray", "-png", "-singlefile", file, filepath.Join(dir, "page")).CombinedOutput()
	require.NoError(t, err, string(out))
	// One code is one line: line breaks inside are escaped.
	got, err := exec.Command(read, "-q", "--raw", "-Sdisable", "-Sqr.enable", filepath.Join(dir, "page.png")).Output()
	require.NoError(t, err)
	lines := strings.Split(strings.TrimRight(string(got), "\n"), "\n")
	sort.Strings(lines)
	return lines
}

// want are the codes of the first n labels.
func want(ks []kit.Kit, n int) []string {
	var out []string
	for i := range ks {
		k := &ks[i]
		for j := range k.Bags {
			out = append(out, labels.BagCode(k, &k.Bags[j]))
			for _, l := range k.Bags[j].Lines {
				out = append(out, labels.Code(k, &k.Lines[l]))
			}
		}
	}
	out = out[:n]
	sort.Strings(out)
	return out
}

func TestCodesAreRead(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	g := labels.Sheet24()
	g.Page, g.Columns, g.Rows = paper.Size{Name: "a corner of A4", Width: 140, Height: 120}, 2, 3
	assert.Equal(t, want(ks[3:], 6), codes(t, write(t, ks[3:], labels.Settings{Grid: g}), "1", "200"))
}

// A label printer of 203 dpi (8 dots per mm), the smallest and a tall label.
func TestCodesOnRolls(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	for _, g := range []labels.Grid{labels.Roll(labels.LeastWidth, labels.LeastHeight), labels.Roll(50, 75), labels.Roll(100, 50)} {
		pdf := write(t, ks[3:], labels.Settings{Grid: g})
		assert.Equal(t, want(ks[3:], 1), codes(t, pdf, "1", "203"), "%g × %g", g.Width, g.Height)
		assert.Equal(t, []string{labels.Code(&ks[3], &ks[3].Lines[0])}, codes(t, pdf, "2", "203"), "%g × %g", g.Width, g.Height)
	}
}

func hostile(s string) string {
	return "<b>" + s + " Ωmega Жук 日本語 | 50 % \u202e \n\"quoted\" and quite long, longer than any column could hold"
}

func TestHostileNames(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1, Name: hostile})
	pdf := write(t, ks[3:], labels.Settings{Grid: labels.Roll(64, 34)})
	assert.Equal(t, want(ks[3:], 1), codes(t, pdf, "1", "300"))
	assert.Equal(t, []string{labels.Code(&ks[3], &ks[3].Lines[0])}, codes(t, pdf, "2", "300"))
	assert.Contains(t, words(t, pdf), "<b>H01")
}

func TestShortPiecesGetNoTag(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	n := len(rec.Demand)
	rec.Layouts[0].Placed = rec.Layouts[0].Placed[1:]
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	tags, _ := labels.Count(ks, labels.Settings{})
	assert.Equal(t, n-1, tags)
	text := words(t, write(t, ks, labels.Settings{}))
	assert.Equal(t, n-1, strings.Count(text, labels.Remove))
	assert.Contains(t, text, "SHORT OF 1")
}

func TestOrders(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	number := regexp.MustCompile(`(?m)^\f?\s*(\d+) +\S`)
	first := func(s labels.Settings) []string {
		s.Grid, s.NoBags = labels.Roll(80, 60), true
		var out []string
		for _, m := range number.FindAllStringSubmatch(words(t, write(t, ks[:1], s)), -1) {
			out = append(out, m[1])
		}
		return out
	}
	up := first(labels.Settings{})
	require.Len(t, up, len(ks[0].Lines))
	for i, l := range ks[0].Lines {
		assert.Equal(t, up[i], fmtInt(l.Demand.Order))
	}
	// Bag 1 holds order 1 alone; bag 2 is piled from 12 down to 2.
	down := first(labels.Settings{Order: labels.Pile})
	assert.Equal(t, []string{"1", "12"}, down[:2])
	assert.Equal(t, "2", down[len(down)-1])
	lines := make([]*kit.Line, 0, len(ks[0].Lines))
	for i := range ks[0].Lines {
		lines = append(lines, &ks[0].Lines[i])
	}
	sort.SliceStable(lines, func(i, j int) bool {
		p, q := lines[i].Place, lines[j].Place
		if p.LayoutIndex != q.LayoutIndex {
			return p.LayoutIndex < q.LayoutIndex
		}
		return p.Position < q.Position
	})
	for i, o := range first(labels.Settings{Order: labels.OffTable}) {
		assert.Equal(t, fmtInt(lines[i].Demand.Order), o)
	}
}

// A long name of a bag is cut short on a tag; that the ply is rolled and not
// folded is not.
func TestLongBagName(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	for i := range rec.Demand {
		rec.Demand[i].Bag = "tube by the third window on the left"
	}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	assert.Regexp(t, `rolled, NO FOLD · bag t\S*…`, words(t, write(t, ks[:1], labels.Settings{NoBags: true})))
}

func TestSkipUsedLabels(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	g := labels.Sheet24()
	g.Rows = 2
	pages := func(skip int) int {
		return strings.Count(words(t, write(t, ks[3:], labels.Settings{Grid: g, Skip: skip})), "\f")
	}
	// 7 tags and 2 bag sheets on sheets of 6.
	assert.Equal(t, 2, pages(0))
	assert.Equal(t, 2, pages(3))
	assert.Equal(t, 3, pages(4))
	_, err := labels.Write(&bytes.Buffer{}, ks, labels.Settings{Skip: 24})
	assert.ErrorContains(t, err, "24 labels to skip on a sheet of 24")
}

func TestNoKits(t *testing.T) {
	assert.NotEmpty(t, write(t, nil, labels.Settings{}))
}

func TestRevisionsAreNotMixed(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	ks[2].Revision = "D"
	_, err := labels.Write(&bytes.Buffer{}, ks, labels.Settings{})
	assert.ErrorContains(t, err, `revision "C" and of job`)
}
