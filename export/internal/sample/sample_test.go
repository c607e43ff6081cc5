package sample

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/account"
)

func TestBooksOfTheSampleBalance(t *testing.T) {
	led, err := account.Measure(Record(Options{}))
	require.NoError(t, err)
	for _, s := range led.Fabrics {
		require.LessOrEqual(t, math.Abs(s.Books.Imbalance()), 1.0, s.Fabric)
	}
	t.Logf("%d plies, %d layouts, net yield %.1f %%", led.Total.Plies, led.Total.Layouts, 100*led.Total.Books.NetYield())
}
