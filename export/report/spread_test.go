package report

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
)

func TestSpreadWords(t *testing.T) {
	none := nest.SpreadOption{Name: nest.OptionNone, Length: 95_000, Minutes: nest.Minutes{Cutting: 70, Kitting: 90, Spreading: 60}}
	best := nest.SpreadOption{Name: nest.OptionRecommended, Chosen: true, Spreads: 6, Length: 96_500, Minutes: nest.Minutes{Cutting: 50, Kitting: 75, Spreading: 52}}
	p := &page{rec: &nest.Record{SpreadOptions: []nest.SpreadOption{none, best}}}
	require.Contains(t, p.spreadWords(), "saves 43 minutes of work, spreading and handling counted, and draws 1.50"+thin+"m of fabric more.")
	require.Contains(t, p.spreadWords(), "equally short searches")
	p.rec.SpreadOptions[0].Foretold = true
	require.Contains(t, p.spreadWords(), "foretold from areas")
	p.rec.SpreadOptions[1].Spreads = 0
	require.Contains(t, p.spreadWords(), "Cutting every fabric single is the plan chosen.")
}
