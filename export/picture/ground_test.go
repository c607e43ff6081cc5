package picture

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
)

// A word on the ground: its ends along x, mm.
type word struct {
	text     string
	from, to float64
}

// groundWords are the words above and below the fabric, by their base line.
func groundWords(t *testing.T, doc string) map[string][]word {
	t.Helper()
	rows := map[string][]word{}
	d := xml.NewDecoder(bytes.NewReader([]byte(doc)))
	for {
		tok, err := d.Token()
		if err != nil {
			return rows
		}
		el, ok := tok.(xml.StartElement)
		if !ok || el.Name.Local != "text" {
			continue
		}
		at := map[string]string{}
		for _, a := range el.Attr {
			at[a.Name.Local] = a.Value
		}
		if !strings.HasPrefix(at["class"], "say ") || at["class"] == "say bad" {
			continue
		}
		tok, err = d.Token()
		require.NoError(t, err)
		s := string(tok.(xml.CharData))
		x, err := strconv.ParseFloat(at["x"], 64)
		require.NoError(t, err)
		size, err := strconv.ParseFloat(at["font-size"], 64)
		require.NoError(t, err)
		wide := sayWidth(s) * size
		if at["class"] == "say right" {
			x -= wide
		}
		rows[at["y"]] = append(rows[at["y"]], word{s, x, x + wide})
	}
}

func TestWordsOnTheGroundNeitherMeetNorLeaveThePicture(t *testing.T) {
	rec := sample.Record(sample.Options{})
	l := rec.Layouts[0]
	l.Placed, l.Flaws = nil, nil
	for length := 20.0; length < 30000; length = length*1.01 + 7 {
		l.Length = length
		l.Usable[1][0] = length - l.Usable[0][0]
		d := New(rec, &l, Options{})
		x, _, wide, _ := d.Box()
		var b bytes.Buffer
		require.NoError(t, Layout(&b, rec, &l, Options{}))
		doc := b.String()
		full := 0
		for _, row := range groundWords(t, doc) {
			for i, a := range row {
				if strings.HasSuffix(a.text, " m") && a.text != "0 m" {
					full++
				}
				require.GreaterOrEqual(t, a.from, x-0.1, "%q of %.0f mm", a.text, length)
				require.LessOrEqual(t, a.to, x+wide, "%q of %.0f mm", a.text, length)
				for _, o := range row[i+1:] {
					require.True(t, a.to+1.3*d.unit < o.from || o.to+1.3*d.unit < a.from, "%q and %q of %.0f mm", a.text, o.text, length)
				}
			}
		}
		require.Equal(t, 1, full, "%.0f mm has one length", length)
	}
}
