package drawing

import (
	"fmt"
	"math"
	"slices"
)

// unitLengths are the units a job may state, in millimetres.
var unitLengths = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8}

// dxfUnits are the values of $INSUNITS with their names and lengths in
// millimetres, as published in the format's reference.
var dxfUnits = map[int]Unit{
	1:  {Name: "in", Millimetres: 25.4},
	2:  {Name: "ft", Millimetres: 304.8},
	3:  {Name: "mile", Millimetres: 1609344},
	4:  {Name: "mm", Millimetres: 1},
	5:  {Name: "cm", Millimetres: 10},
	6:  {Name: "m", Millimetres: 1000},
	7:  {Name: "km", Millimetres: 1e6},
	8:  {Name: "µin", Millimetres: 25.4e-6},
	9:  {Name: "mil", Millimetres: 0.0254},
	10: {Name: "yd", Millimetres: 914.4},
	11: {Name: "Å", Millimetres: 1e-7},
	12: {Name: "nm", Millimetres: 1e-6},
	13: {Name: "µm", Millimetres: 1e-3},
	14: {Name: "dm", Millimetres: 100},
	15: {Name: "dam", Millimetres: 1e4},
	16: {Name: "hm", Millimetres: 1e5},
	21: {Name: "US survey ft", Millimetres: 1200.0 / 3937 * 1000},
	22: {Name: "US survey in", Millimetres: 100.0 / 3937 * 1000},
	23: {Name: "US survey yd", Millimetres: 3600.0 / 3937 * 1000},
}

// jobUnit is the unit the options state, if any.
func (o Options) jobUnit() (Unit, bool, error) {
	if o.Unit == "" {
		return Unit{}, false, nil
	}
	mm, ok := unitLengths[o.Unit]
	if !ok {
		return Unit{}, false, fmt.Errorf("unknown unit %q: want mm, cm, m, in or ft", o.Unit)
	}
	return Unit{Name: o.Unit, Millimetres: mm}, true, nil
}

// check finds options that make no sense.
func (o Options) check() error {
	if _, _, err := o.jobUnit(); err != nil {
		return err
	}
	for _, v := range []float64{o.PxPerInch, o.Chord, o.Join, o.Gap} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("an option is not a finite number")
		}
	}
	for _, n := range o.Names {
		if !slices.Contains(NamesDefault, n) {
			return fmt.Errorf("unknown source of names %q: want %v", string(n), NamesDefault)
		}
	}
	return nil
}
