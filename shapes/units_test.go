package shapes_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/shapes"
)

func TestParse(t *testing.T) {
	tests := []struct {
		quantity shapes.Quantity
		text     string
		bare     string
		want     float64
	}{
		{shapes.Length, "1270", "", 1270},
		{shapes.Length, "1270", "mm", 1270},
		{shapes.Length, "50", "in", 1270},
		{shapes.Length, "42 m", "in", 42000},
		{shapes.Length, "42m", "", 42000},
		{shapes.Length, "127 cm", "", 1270},
		{shapes.Length, "50in", "", 1270},
		{shapes.Length, `50"`, "", 1270},
		{shapes.Length, "4.5 ft", "", 1371.6},
		{shapes.Length, "1 yd", "", 914.4},
		{shapes.Length, "-.5e1", "", -5},
		{shapes.Length, "+1.e0 mm", "", 1},
		{shapes.ArealMass, "450 g/m2", "", 450},
		{shapes.ArealMass, "450 g/m²", "", 450},
		{shapes.ArealMass, "0.45 kg/m2", "", 450},
		{shapes.Mass, "5 kg", "", 5},
		{shapes.Mass, "500 g", "", 0.5},
		{shapes.Mass, "1 lb", "", 0.45359237},
		{shapes.Mass, "16 oz", "", 0.45359237},
		{shapes.Time, "60", "", 60},
		{shapes.Time, "1.5 h", "", 90},
		{shapes.Time, "90 s", "", 1.5},
		{shapes.Pace, "6 kg/h", "", 6},
		{shapes.Pace, "100 g/min", "", 6},
		{shapes.Density, "1200 kg/m3", "", 1.2},
		{shapes.Angle, "-45", "", -45},
		{shapes.Angle, "45°", "", 45},
		{shapes.Angle, "45 deg", "", 45},
	}
	for _, tt := range tests {
		got, err := tt.quantity.Parse(tt.text, tt.bare)
		require.NoError(t, err, "%v %q", tt.quantity, tt.text)
		assert.InDelta(t, tt.want, got, 1e-9, "%v %q bare %q", tt.quantity, tt.text, tt.bare)
	}
}

// The trade sells mat by the ounce per square foot and woven fabric by the
// ounce per square yard (worked cases, number 6).
func TestOuncesOfTheTrade(t *testing.T) {
	mat, err := shapes.ParseArealMass("1.5 oz/ft2")
	require.NoError(t, err)
	assert.Equal(t, 458.0, math.Round(mat))

	woven, err := shapes.ParseArealMass("18 oz/yd2")
	require.NoError(t, err)
	assert.Equal(t, 610.0, math.Round(woven))

	// Nine square feet are a square yard.
	yard, err := shapes.ParseArealMass("9 oz/yd2")
	require.NoError(t, err)
	foot, err := shapes.ParseArealMass("1 oz/ft2")
	require.NoError(t, err)
	assert.InDelta(t, foot, yard, 1e-9)
}

func TestParseErrors(t *testing.T) {
	tests := []struct {
		quantity shapes.Quantity
		text     string
		want     string
	}{
		{shapes.Length, "", `"" is no length: it does not begin with a figure`},
		{shapes.Length, "wide", `"wide" is no length: it does not begin with a figure`},
		{shapes.Length, "NaN", `"NaN" is no length: it does not begin with a figure`},
		{shapes.Length, "-inf", `"-inf" is no length: it does not begin with a figure`},
		{shapes.Length, "0x1F", `"x1F" is no unit of length`},
		{shapes.Length, "1_000", `"_000" is no unit of length`},
		{shapes.Length, "1e999", `"1e999" is no length: the figure is too large`},
		{shapes.Length, "1e308 m", `"1e308 m" is no length: the figure is too large`},
		{shapes.Length, "2,10", `"2,10" is no length: decimals are written with a point`},
		{shapes.Length, "3 kg", `"kg" is no unit of length`},
		{shapes.ArealMass, "450 g/m", `"g/m" is no unit of areal mass`},
		{shapes.Length, "3 m\nm", `"m\nm" is no unit of length`},
	}
	for _, tt := range tests {
		_, err := tt.quantity.Parse(tt.text, "")
		assert.EqualError(t, err, tt.want)
		var qe *shapes.QuantityError
		assert.True(t, errors.As(err, &qe))
	}
}

func TestParseNeverGivesNaN(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := shapes.Quantity(rapid.IntRange(0, int(shapes.Angle)).Draw(t, "quantity"))
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[-+]?[0-9.eE]{0,8} ?[a-z/²"'2]{0,6}`)).Draw(t, "text")
		v, err := q.Parse(text, "")
		if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Fatalf("%v.Parse(%q) = %v", q, text, v)
		}
	})
}

func TestUnitsAreFoundByName(t *testing.T) {
	for q := shapes.Length; q <= shapes.Angle; q++ {
		require.NotEmpty(t, q.Units())
		for _, name := range q.Units() {
			u, ok := q.Unit(name)
			require.True(t, ok, name)
			v, err := q.Parse("2 "+name, "")
			require.NoError(t, err)
			assert.Equal(t, 2*u.Factor, v)
			assert.False(t, strings.ContainsAny(name, " 0"), "unit %q reads apart from its figure", name)
		}
	}
}
