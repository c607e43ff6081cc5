package labels_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"plyroom/export/labels"
	"plyroom/export/paper"
)

func TestParseGrid(t *testing.T) {
	g, err := labels.ParseGrid("3x8,64x34,7x12.5,66x34", paper.A4)
	assert.NoError(t, err)
	want := labels.Sheet24()
	want.Frame = false
	assert.Equal(t, want, g)

	// Two of 100 mm on 210 leave 5 at each side, five of 50 on 297 leave 23.5.
	g, err = labels.ParseGrid("2×5, 100×50", paper.A4)
	assert.NoError(t, err)
	assert.Equal(t, labels.Grid{Page: paper.A4, Columns: 2, Rows: 5, Width: 100, Height: 50, Left: 5, Top: 23.5, PitchX: 100, PitchY: 50}, g)

	for _, bad := range []string{"", "3x8", "3,64x34", "3x8,64", "3.5x8,50x34", "0x8,64x34", "3x8,10x10", "4x8,64x34", "3x8,64x34,30x0",
		"3x8,64x34,0x0,60x34", "-3x8,64x34", "3x8,NaNx34", "3x8,1e9x34", "3x8,64x34,0x0,66x34,1x1"} {
		_, err := labels.ParseGrid(bad, paper.A4)
		assert.Error(t, err, bad)
	}
}

func TestParseRoll(t *testing.T) {
	g, err := labels.ParseRoll("100x50")
	assert.NoError(t, err)
	want := labels.Roll(100, 50)
	want.PitchX, want.PitchY = 100, 50
	assert.Equal(t, want, g)
	for _, bad := range []string{"", "100", "x50", "100x", "20x20", "Infx50"} {
		_, err := labels.ParseRoll(bad)
		assert.Error(t, err, bad)
	}
}

func TestParseOrder(t *testing.T) {
	for word, want := range map[string]labels.Order{"": labels.LayUp, "lay-up": labels.LayUp, "pile": labels.Pile, "off-table": labels.OffTable} {
		got, err := labels.ParseOrder(word)
		assert.NoError(t, err)
		assert.Equal(t, want, got)
	}
	_, err := labels.ParseOrder("heap")
	assert.EqualError(t, err, `unknown order of labels "heap"; known are lay-up, pile and off-table`)
}
