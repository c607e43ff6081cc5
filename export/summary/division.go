package summary

import (
	"fmt"

	"plyroom/export/table"
	"plyroom/nest"
)

// Divisions is the table of the plies divided to save fabric, fabric by fabric,
// and what that saves. It is nil where none is.
func Divisions(rec *nest.Record) *table.Table {
	if len(rec.Divisions) == 0 {
		return nil
	}
	t := &table.Table{Columns: []table.Column{
		{Key: "divided"}, {Key: "plies"}, {Key: "whole_m", Title: "whole m", Right: true}, {Key: "divided_m", Title: "divided m", Right: true},
		{Key: "saved_m", Title: "saved m", Right: true}, {Key: "saved_m2", Title: "saved m²", Right: true}, {Key: "laps_m2", Title: "laps m²", Right: true},
	}}
	for i := range rec.Divisions {
		d := &rec.Divisions[i]
		laps, names := 0.0, ""
		for k, p := range d.Plies {
			if k > 0 {
				names += "; "
			}
			names += fmt.Sprintf("%s %s in %d", p.Part, p.Ply, p.Panels)
			laps += p.LapArea
		}
		saved, area := table.Number(d.SavedLength()/1e3, 2), table.Number(d.SavedArea()/1e6, 2)
		if d.Homeless > 0 {
			names += fmt.Sprintf(" (else %d find no room)", d.Homeless)
			saved, area = table.Blank(), table.Blank()
		}
		t.Add(table.Text(d.Fabric), table.Text(names), table.Number(d.WholeLength/1e3, 2), table.Number(d.Length/1e3, 2),
			saved, area, table.Number(laps/1e6, 2))
	}
	return t
}
