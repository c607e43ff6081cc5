package picture

import (
	"bytes"
	"encoding/xml"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/nest"
	"plyroom/shapes/geom"
)

func draw(t testing.TB, rec *nest.Record, i int, opt Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Layout(&b, rec, &rec.Layouts[i], opt))
	return b.String()
}

// wellFormed reads the document as XML and returns how often each element and
// class stands in it.
func wellFormed(t testing.TB, doc string) (count map[string]int, texts []string) {
	t.Helper()
	count = map[string]int{}
	d := xml.NewDecoder(bytes.NewReader([]byte(doc)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return count, texts
		}
		require.NoError(t, err)
		switch tok := tok.(type) {
		case xml.StartElement:
			count[tok.Name.Local]++
			for _, a := range tok.Attr {
				if a.Name.Local == "class" {
					count["."+a.Value]++
				}
			}
		case xml.CharData:
			texts = append(texts, string(tok))
		}
	}
}

func TestEveryPlyIsDrawnOnce(t *testing.T) {
	rec := sample.Record(sample.Options{})
	for i := range rec.Layouts {
		doc := draw(t, rec, i, Options{})
		if dir := os.Getenv("PICTURE_OUT"); dir != "" {
			require.NoError(t, os.WriteFile(filepath.Join(dir, rec.Layouts[i].ID+".svg"), []byte(doc), 0o666))
		}
		count, _ := wellFormed(t, doc)
		require.Equal(t, len(rec.Layouts[i].Placed), count[".pl"])
		require.Equal(t, len(rec.Layouts[i].Flaws), count[".flw"])
	}
}

func TestSameBytes(t *testing.T) {
	rec := sample.Record(sample.Options{})
	require.Equal(t, draw(t, rec, 0, Options{}), draw(t, rec, 0, Options{}))
}

func TestHostileNamesAreText(t *testing.T) {
	evil := "\"><script>alert(1)</script>\n'&\x00"
	rec := sample.Record(sample.Options{Name: func(s string) string { return s + evil }})
	count, texts := wellFormed(t, draw(t, rec, 0, Options{}))
	require.Zero(t, count["script"])
	require.Contains(t, strings.Join(texts, "|"), "\"><script>alert(1)</script>\n'&\uFFFD, unit")
}

func TestLabelsStayInside(t *testing.T) {
	rec := sample.Record(sample.Options{})
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		d := New(rec, l, Options{})
		for k, lb := range d.labels {
			require.Positive(t, lb.size, l.Placed[k].Ply)
			for _, p := range lb.box() {
				in := false
				if geom.Contains(d.rings[k][0], p) != geom.Outside {
					in = true
				}
				for _, h := range d.rings[k][1:] {
					in = in && geom.Contains(h, p) != geom.Inside
				}
				require.True(t, in, "%s %s: the label's corner %v is off the ply", l.ID, l.Placed[k].Ply, p)
			}
		}
	}
}

func TestSquareDistance(t *testing.T) {
	require.InDelta(t, 1, squareDistance(1, -5, 1, 5), 1e-12)
	require.InDelta(t, 1, squareDistance(0, 2, 2, 0), 1e-12)
	require.InDelta(t, 0, squareDistance(-1, -1, 1, 1), 1e-12)
	require.InDelta(t, 3, squareDistance(3, 3, 4, 9), 1e-12)
}

func TestThinKeepsTheShape(t *testing.T) {
	rec := sample.Record(sample.Options{})
	for _, s := range rec.Shapes {
		full := make(orb.Ring, len(s.Cut.Outline))
		for i, p := range s.Cut.Outline {
			full[i] = orb.Point(p)
		}
		few := thin(s.Cut.Outline)
		require.LessOrEqual(t, len(few), len(full))
		for _, p := range full {
			require.LessOrEqual(t, geom.RingDistance(few, p), detail+1e-9, s.ID)
		}
	}
}

func TestPathData(t *testing.T) {
	require.Equal(t, "M0 100l10.5 0 0-.3-10.5 0z", pathData(100, orb.Ring{{0, 0}, {10.5, 0}, {10.5, 0.3}, {0, 0.3}}))
	require.Equal(t, "-.1", num(-0.06))
	require.Equal(t, "0", num(-0.04))
}
