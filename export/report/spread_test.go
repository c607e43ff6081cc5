package report

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/nest"
	"plyroom/shapes"
)

func TestSpreadWords(t *testing.T) {
	none := nest.SpreadOption{Name: nest.OptionNone, Length: 95_000, Minutes: nest.Minutes{Cutting: 70, Kitting: 90, Spreading: 60}}
	best := nest.SpreadOption{Name: nest.OptionRecommended, Chosen: true, Spreads: 6, Length: 96_500, Minutes: nest.Minutes{Cutting: 50, Kitting: 75, Spreading: 52}}
	p := &page{rec: &nest.Record{SpreadOptions: []nest.SpreadOption{none, best}}}
	require.Contains(t, p.spreadWords(), "saves 43 minutes of work, spreading and handling counted, and draws 1.50"+thin+"m of fabric more.")
	// Where the plan as laid stands beside them, the words are about its row.
	laid := nest.SpreadOption{Name: nest.OptionLaid, Spreads: 6, Length: 93_560, Minutes: nest.Minutes{Cutting: 51, Kitting: 75, Spreading: 50}}
	p.rec.SpreadOptions = []nest.SpreadOption{none, best, laid}
	require.Contains(t, p.spreadWords(), "the plan as laid saves 44 minutes of work, spreading and handling counted, and draws 1.44"+thin+"m of fabric less.")
	require.NotContains(t, p.spreadWords(), "Time was short")
	p.rec.SpreadOptions = []nest.SpreadOption{none, best}
	require.Contains(t, p.spreadWords(), "equally short searches")
	p.rec.SpreadOptions[0].Foretold = true
	require.Contains(t, p.spreadWords(), "foretold from areas")
	p.rec.SpreadOptions[1].Spreads = 0
	require.Contains(t, p.spreadWords(), "Cutting every fabric single is the plan chosen.")
}

// A heading says what stands below it, with its unit; shares are rounded as
// yields are.
func TestHeadingsAndShares(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	rec.Currency = "EUR"
	rec.Fabrics[0].Price = &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}
	page := render(t, rec)
	for _, head := range []string{"Drawn, m", "Drawn, m²", "Least possible, m", "Cost, EUR"} {
		require.Contains(t, page, ">"+head+"</th>")
	}
	require.NotContains(t, page, ">price</th>")
	p, err := newPage(Input{Record: rec})
	require.NoError(t, err)
	for _, s := range p.ledger.Fabrics {
		require.Contains(t, page, "<small>"+percent(s.Books.Classes()[0].Area/s.Books.Drawn)+"</small>")
	}
}
