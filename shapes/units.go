package shapes

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Exact conversion factors. Inch, foot and yard are those of the international
// yard and pound agreement of 1959 (1 yd = 0.9144 m, 1 lb = 0.45359237 kg),
// which also fixes the avoirdupois ounce at a sixteenth of the pound.
const (
	mmPerInch = 25.4
	mmPerFoot = 304.8
	mmPerYard = 914.4
	gPerPound = 453.59237
	gPerOunce = 28.349523125
	// A square foot is 0.3048² m², a square yard 0.9144² m².
	m2PerSquareFoot = 0.09290304
	m2PerSquareYard = 0.83612736
)

// A Quantity is what a figure measures, and so which units may follow it.
type Quantity int

// The quantities of a job. The unit in brackets is the one this module works
// in, which a Parse function returns.
const (
	Length    Quantity = iota // mm
	ArealMass                 // g/m²
	Mass                      // kg
	Time                      // min
	Pace                      // kg/h
	Density                   // g/cm³
	Angle                     // degrees
)

// A Unit is a named unit of a quantity.
type Unit struct {
	// Name is how the unit is written behind a figure.
	Name string
	// Factor turns a figure in this unit into the quantity's own unit.
	Factor float64
}

var quantities = [...]struct {
	name  string
	units []Unit // the first is the quantity's own
	alias map[string]string
}{
	Length: {
		name: "length",
		units: []Unit{
			{"mm", 1}, {"cm", 10}, {"m", 1000},
			{"in", mmPerInch}, {"ft", mmPerFoot}, {"yd", mmPerYard},
		},
		alias: map[string]string{"inch": "in", "inches": "in", "foot": "ft", "feet": "ft", `"`: "in", "'": "ft"},
	},
	ArealMass: {
		name: "areal mass",
		units: []Unit{
			{"g/m2", 1}, {"kg/m2", 1000},
			{"oz/ft2", gPerOunce / m2PerSquareFoot}, {"oz/yd2", gPerOunce / m2PerSquareYard},
		},
		alias: map[string]string{"gsm": "g/m2"},
	},
	Mass: {
		name:  "mass",
		units: []Unit{{"kg", 1}, {"g", 0.001}, {"lb", gPerPound / 1000}, {"oz", gPerOunce / 1000}},
	},
	Time: {
		name:  "time",
		units: []Unit{{"min", 1}, {"h", 60}, {"s", 1.0 / 60}, {"d", 1440}},
		alias: map[string]string{"hour": "h", "hours": "h", "minutes": "min", "minute": "min", "day": "d", "days": "d"},
	},
	Pace: {
		name:  "pace",
		units: []Unit{{"kg/h", 1}, {"kg/min", 60}, {"g/min", 0.06}, {"lb/h", gPerPound / 1000}},
	},
	Density: {
		name:  "density",
		units: []Unit{{"g/cm3", 1}, {"kg/m3", 0.001}, {"kg/l", 1}},
	},
	Angle: {
		name:  "angle",
		units: []Unit{{"deg", 1}},
		alias: map[string]string{"°": "deg", "degrees": "deg"},
	},
}

// String names the quantity.
func (q Quantity) String() string { return quantities[q].name }

// Units lists the units a figure of this quantity may carry, its own first.
func (q Quantity) Units() []string {
	names := make([]string, len(quantities[q].units))
	for i, u := range quantities[q].units {
		names[i] = u.Name
	}
	return names
}

// Unit finds a unit by its name, by a common other spelling, or with a
// superscript figure in place of a plain one.
func (q Quantity) Unit(name string) (Unit, bool) {
	name = strings.NewReplacer("²", "2", "³", "3").Replace(name)
	if full, ok := quantities[q].alias[name]; ok {
		name = full
	}
	for _, u := range quantities[q].units {
		if u.Name == name {
			return u, true
		}
	}
	return Unit{}, false
}

// A QuantityError says why a text is not a figure of a quantity.
type QuantityError struct {
	Quantity Quantity
	// Text is what was to be read.
	Text string
	// Unit is the unit that is not known; empty where the figure is at fault.
	Unit string
	// Reason says what is wrong with the figure; empty where the unit is.
	Reason string
}

// Error says what is wrong in one phrase.
func (e *QuantityError) Error() string {
	if e.Unit != "" {
		return fmt.Sprintf("%q is no unit of %s", e.Unit, e.Quantity)
	}
	return fmt.Sprintf("%q is no %s: %s", e.Text, e.Quantity, e.Reason)
}

// Parse reads a figure with or without a unit, such as "1270", "42 m" or
// "1.5 oz/ft2". A figure without a unit is in bare, or in the quantity's own
// unit where bare is empty. The result is in the quantity's own unit and
// finite; it may be negative. The error is a *QuantityError.
func (q Quantity) Parse(text, bare string) (float64, error) {
	figure, unit := splitFigure(strings.TrimSpace(text))
	if unit == "" {
		unit = bare
	}
	if figure == "" {
		return 0, &QuantityError{Quantity: q, Text: text, Reason: "it does not begin with a figure"}
	}
	if strings.HasPrefix(unit, ",") {
		return 0, &QuantityError{Quantity: q, Text: text, Reason: "decimals are written with a point"}
	}
	v, err := strconv.ParseFloat(figure, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, &QuantityError{Quantity: q, Text: text, Reason: "the figure is too large"}
	}
	u := quantities[q].units[0]
	if unit != "" {
		var ok bool
		if u, ok = q.Unit(unit); !ok {
			return 0, &QuantityError{Quantity: q, Text: text, Unit: unit}
		}
	}
	v *= u.Factor
	if math.IsInf(v, 0) {
		return 0, &QuantityError{Quantity: q, Text: text, Reason: "the figure is too large"}
	}
	return v, nil
}

// ParseLength reads a length and returns mm; see Quantity.Parse.
func ParseLength(text, bare string) (float64, error) { return Length.Parse(text, bare) }

// ParseArealMass reads a mass per area and returns g/m²; a bare figure is in
// g/m².
func ParseArealMass(text string) (float64, error) { return ArealMass.Parse(text, "") }

// ParseMass reads a mass and returns kg; a bare figure is in kg.
func ParseMass(text string) (float64, error) { return Mass.Parse(text, "") }

// ParseTime reads a time and returns minutes; a bare figure is in minutes.
func ParseTime(text string) (float64, error) { return Time.Parse(text, "") }

// ParsePace reads a mass per time and returns kg/h; a bare figure is in kg/h.
func ParsePace(text string) (float64, error) { return Pace.Parse(text, "") }

// ParseDensity reads a density and returns g/cm³; a bare figure is in g/cm³.
func ParseDensity(text string) (float64, error) { return Density.Parse(text, "") }

// ParseAngle reads an angle and returns degrees.
func ParseAngle(text string) (float64, error) { return Angle.Parse(text, "") }

// splitFigure divides a text into the decimal figure it begins with and what
// follows, without the space between.
func splitFigure(text string) (figure, rest string) {
	i := 0
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	start := i
	digits := func() int {
		from := i
		for i < len(text) && text[i] >= '0' && text[i] <= '9' {
			i++
		}
		return i - from
	}
	n := digits()
	if i < len(text) && text[i] == '.' {
		i++
		n += digits()
	}
	if n == 0 {
		return "", text[start:]
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		mark := i
		i++
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		if digits() == 0 {
			i = mark
		}
	}
	return text[:i], strings.TrimSpace(text[i:])
}
