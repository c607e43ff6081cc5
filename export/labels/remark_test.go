package labels_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/labels"
	"plyroom/nest/kit"
)

// What the fonts lack is returned, and told on a last label; where nothing is
// lacking there is none.
func TestMissingCharactersAreTold(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	var b bytes.Buffer
	missing, err := labels.Write(&b, ks[3:], labels.Settings{})
	require.NoError(t, err)
	assert.Empty(t, missing)
	assert.NotContains(t, words(t, b.Bytes()), "NOTE ON THIS PRINT")

	ks = kits(t, sample.Options{Units: 1, Name: func(s string) string { return s + " 漢字" }})
	b.Reset()
	missing, err = labels.Write(&b, ks[3:], labels.Settings{})
	require.NoError(t, err)
	assert.Equal(t, []rune("字漢"), missing)
	text := words(t, b.Bytes())
	assert.Contains(t, text, "NOTE ON THIS PRINT")
	assert.Contains(t, text, "U+5B57, U+6F22")
}

func TestMissingWords(t *testing.T) {
	assert.Empty(t, labels.MissingWords(nil))
	assert.Contains(t, labels.MissingWords([]rune("一二三四五六七八九十")), "and 2 more")
}

// Tags of prepreg say what is left and until when.
func TestTagsTellOutLife(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})[3:]
	for i := range ks[0].Lines {
		ks[0].Lines[i].Life = &kit.Life{Left: 1234, Expires: "2027-03-01"}
	}
	ks[0].Lines[0].Life = &kit.Life{Left: -1}
	ks[0].Life = &kit.Life{Left: -1, Expires: "2027-03-01"}
	text := words(t, write(t, ks, labels.Settings{Grid: labels.Roll(100, 60)}))
	assert.Contains(t, text, "20.5 h left")
	assert.Contains(t, text, "exp. 2027-03-01")
	assert.Contains(t, text, "OUT-LIFE USED UP")
}
