package account

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
)

// Three plies of a random job that touch along their edges and do not overlap: what
// is left of the fabric is the whole less the three. The clipping library, asked once,
// loses two triangles of it, 8,566 mm².
func TestRemainderBetweenTouchingPlies(t *testing.T) {
	usable := box(20, 15, 463.783188, 1255)
	plies := []nest.Ring{
		{{37.892284, 1214.775894}, {250.837736, 859.706495}, {250.837736, 1255}},
		{{463.783188, 859.706495}, {250.837736, 1214.775894}, {250.837736, 819.482389}},
		{{250.837736, 1214.775894}, {463.783188, 859.706495}, {463.783188, 1255}},
	}
	want := ringArea(usable)
	for _, p := range plies {
		want -= ringArea(p)
	}
	got, err := remainder([]nest.Ring{usable}, plies)
	require.NoError(t, err)
	require.InDelta(t, want, got, 0.01)
}
