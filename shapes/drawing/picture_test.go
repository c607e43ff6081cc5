package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// picture draws and checks that the result is well-formed; it returns the
// document and the character data.
func picture(t *testing.T, d *Drawing) (doc, text string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Picture(&b, d))
	dec := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	var words strings.Builder
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		if c, ok := tok.(xml.CharData); ok {
			words.Write(c)
		}
	}
	return b.String(), words.String()
}

func TestPicture(t *testing.T) {
	body := square + pairs(0, "TEXT", 8, "PLIES", 10, 20, 20, 50, 40, 5, 1, `<b>"SKIN" & co</b>`) +
		pairs(0, "CIRCLE", 10, 70, 20, 70, 40, 10) + on("DATUM", dxfLine(10, 10, 90, 10)) + on("SLIT", dxfLine(10, 90, 40, 90)) +
		pairs(0, "POINT", 10, 30, 20, 30) +
		lines(200, 0, 300, 0, 300, 0, 300, 100, 300, 100, 200, 100, 200, 99.4, 200, 0) + // a gap
		lines(400, 0, 500, 0, 500, 0, 500, 100, 500, 100, 400, 100) // open
	d, err := ReadFrom(strings.NewReader(dxfPage("", body)), "lip.dxf", Options{})
	require.ErrorContains(t, err, "open")
	doc, text := picture(t, d)
	assert.Contains(t, text, `<b>"SKIN" & co</b>`)
	assert.Contains(t, text, "2 outlines, 3 problems")
	assert.Contains(t, text, "a gap of 0.6 mm was closed")
	assert.Contains(t, text, "fault: ")
	assert.Equal(t, 1, strings.Count(doc, `<circle class="fault"`))
	assert.Equal(t, 1, strings.Count(doc, `<circle class="repair"`))
	assert.Equal(t, 2, strings.Count(doc, `<path class="ply"`))
	assert.Equal(t, 1, strings.Count(doc, `class="datum" d="M`)-strings.Count(doc, "h8m-4"))
	assert.Equal(t, 1, strings.Count(doc, `class="slit"`))
	assert.Equal(t, 1, strings.Count(doc, `class="stray"`))
	// The outline is shown where it was drawn although the datum turned it.
	assert.NotContains(t, doc, "NaN")
}

func TestPictureOfNothing(t *testing.T) {
	d, err := Read(t.TempDir()+"/none.dxf", Options{})
	require.Error(t, err)
	_, text := picture(t, d)
	assert.Contains(t, text, "0 outlines, 1 problems")
	_, _ = picture(t, &Drawing{File: "\x00<&>"})
}

type failing struct{}

var errFull = errors.New("disk full")

func (failing) Write([]byte) (int, error) { return 0, errFull }

func TestPicturePassesErrorsOn(t *testing.T) {
	d := readString(t, dxfPage("", square), Options{})
	assert.ErrorIs(t, Picture(failing{}, d), errFull)
}
