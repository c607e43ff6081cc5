package kitlist

import (
	"fmt"
	"strconv"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// direction is the angle asked for, or "any".
func direction(l *kit.Line) string {
	if l.Directionless() {
		return "any"
	}
	return paper.Degrees(l.AskedDeg)
}

// laid says in two lines how the warp lies where that is not what was asked:
// another angle that the fabric makes equal, or one that is off; nil
// otherwise.
func laid(l *kit.Line) []string {
	if l.Place == nil || l.Directionless() || paper.Degrees(l.LaidDeg()) == paper.Degrees(l.AskedDeg) {
		return nil
	}
	warp, how := "warp at "+paper.Degrees(l.LaidDeg()), "equal"
	if off := paper.Degrees(l.Place.Placed.DeviationDeg); off != "0°" {
		how = off + " off"
	}
	return []string{warp, how}
}

// size writes a box in whole millimetres.
func size(s kit.Size) string { return fmt.Sprintf("%.0f × %.0f", s.X, s.Y) }

// squareMetres writes an area, mm², with the digits that matter.
func squareMetres(mm2 float64) string {
	if mm2 < 1e5 {
		return fmt.Sprintf("%.4f m²", mm2/1e6)
	}
	return fmt.Sprintf("%.3f m²", mm2/1e6)
}

// kilograms writes a mass; empty for what is not known.
func kilograms(v float64, decimals int) string {
	if v <= 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// orders writes a run of the lay-up: "order 4", "orders 4–6".
func orders(first, last int) string {
	if first == last {
		return fmt.Sprintf("order %d", first)
	}
	return fmt.Sprintf("orders %d–%d", first, last)
}

// count writes a number with its noun: "1 mix", "2 mixes".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// sentence joins what is there with middle dots.
func sentence(parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, "  ·  ")
}
