package report

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every layout shows what the knife does on it, and the section the sum.
func TestKnifeWork(t *testing.T) {
	rec := spreadRecord()
	require.NotContains(t, render(t, rec), "The knife takes about")
	in := Input{Record: rec, Knife: map[string]Knife{}}
	for i := range rec.Layouts {
		in.Knife[rec.Layouts[i].ID] = Knife{Minutes: 3.25 * float64(i+1), Down: 41900, Up: 11160, Cuts: 41}
	}
	var b bytes.Buffer
	require.NoError(t, Write(&b, in))
	n := len(rec.Layouts)
	page := b.String()
	require.Contains(t, page, "The knife takes about "+fixed(3.25*float64(n*(n+1)/2), 0)+thin+"min in all")
	require.Contains(t, page, "<dt>Knife up</dt><dd>11.2"+thin+"m</dd>")
	require.Contains(t, page, "<dt>Cutting, estimated</dt><dd>"+fixed(3.25, 1)+thin+"min</dd>")
}
