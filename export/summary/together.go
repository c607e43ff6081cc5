package summary

import (
	"fmt"
	"strings"

	"plyroom/nest"
)

// Together says in one line what keeping kits together costs, against a plan of
// equal effort that need not; empty where the record has nothing to compare.
func Together(rec *nest.Record) string {
	t := rec.Together
	if t == nil {
		return ""
	}
	words := []string{
		signed((t.Kept.Length-t.Free.Length)/1e3, 2, "m"),
	}
	if t.Kept.Priced && t.Free.Priced {
		words = append(words, strings.TrimSpace(signed(t.Kept.FabricCost-t.Free.FabricCost, 2, rec.Currency)))
	}
	words = append(words, signed(t.Kept.Minutes.Total()-t.Free.Minutes.Total(), 0, "min"))
	return fmt.Sprintf("kits kept together: %s against the plan without it (%.2f m); a kit is met on a layout %d times instead of %d, and %.1f m are walked instead of %.1f m",
		strings.Join(words, ", "), t.Free.Length/1e3, t.Kept.Visits, t.Free.Visits, t.Kept.Walk/1e3, t.Free.Walk/1e3)
}

func signed(v float64, decimals int, unit string) string {
	return fmt.Sprintf("%+.*f %s", decimals, v, unit)
}
