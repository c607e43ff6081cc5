package summary_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/summary"
	"plyroom/nest/trace"
)

// A bag stands with its number and the job's name for it.
func TestTraceNamesBags(t *testing.T) {
	var b strings.Builder
	require.NoError(t, summary.Trace(&trace.Trail{
		Pieces:  []trace.Piece{{Ply: "U01", Kit: 7, Bag: 2, BagName: "A", Part: "Shell"}},
		Missing: []trace.Piece{{Ply: "U02", Kit: 7, Bag: 3, Part: "Shell"}},
	}).WriteCSV(&b))
	require.Contains(t, b.String(), ",kit,bag,bag_name,part,")
	require.Contains(t, b.String(), ",7,2,A,Shell,")
	require.Contains(t, b.String(), ",7,3,,Shell,")
}
