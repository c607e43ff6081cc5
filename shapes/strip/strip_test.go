package strip

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRead(t *testing.T) {
	in, err := Read(strings.NewReader(`{"name":"two","strip_width":10,"items":[
		{"id":"a","quantity":2,"rotations_deg":[0,180],"outline":[[0,0],[3,0],[3,2]]},
		{"outline":[[0,0],[1,0],[1,1],[0,1]]}]}`))
	require.NoError(t, err)
	require.Equal(t, 3, in.Pieces())
	require.Equal(t, []float64{0, 180}, in.Items[0].Rotations)
	require.Nil(t, in.Items[1].Rotations, "absent: any angle")
	require.Equal(t, 1, in.Items[1].Quantity)
}

func TestReadRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"not JSON":      `{`,
		"no width":      `{"items":[{"outline":[[0,0],[1,0],[1,1]]}]}`,
		"zero width":    `{"strip_width":0,"items":[{"outline":[[0,0],[1,0],[1,1]]}]}`,
		"no items":      `{"strip_width":1,"items":[]}`,
		"two points":    `{"strip_width":1,"items":[{"outline":[[0,0],[1,0]]}]}`,
		"negative":      `{"strip_width":1,"items":[{"quantity":-1,"outline":[[0,0],[1,0],[1,1]]}]}`,
		"no rotations":  `{"strip_width":1,"items":[{"rotations_deg":[],"outline":[[0,0],[1,0],[1,1]]}]}`,
		"text as width": `{"strip_width":"x","items":[{"outline":[[0,0],[1,0],[1,1]]}]}`,
	} {
		_, err := Read(strings.NewReader(text))
		require.ErrorIs(t, err, ErrInstance, name)
	}
}
