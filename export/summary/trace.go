package summary

import (
	"fmt"
	"slices"

	"plyroom/export/table"
	"plyroom/nest/kit"
	"plyroom/nest/trace"
)

// Trace is a table of one line per piece of a trail: from roll and lot over
// layout and ply to kit and unit. Missing pieces stand at the end, marked so.
func Trace(t *trace.Trail) *table.Table {
	out := &table.Table{Columns: []table.Column{
		{Key: "status", FileOnly: true}, {Key: "fabric", Title: "fabric"}, {Key: "roll", Title: "roll"}, {Key: "lot", Title: "lot"},
		{Key: "roll_from_mm", Title: "from mm", Right: true}, {Key: "roll_to_mm", Title: "to mm", Right: true},
		{Key: "layout", Title: "layout"}, {Key: "layer", FileOnly: true}, {Key: "position", FileOnly: true},
		{Key: "order", Title: "order", Right: true}, {Key: "ply", Title: "ply"}, {Key: "copy", Title: "copy", Right: true},
		{Key: "panel", FileOnly: true}, {Key: "opposite_hand", FileOnly: true},
		{Key: "kit", Title: "kit", Right: true}, {Key: "bag", FileOnly: true}, {Key: "bag_name", FileOnly: true},
		{Key: "part", Title: "part"}, {Key: "part_revision", FileOnly: true}, {Key: "unit", Title: "unit", Right: true},
		{Key: "job", FileOnly: true}, {Key: "revision", FileOnly: true}, {Key: "date", FileOnly: true},
	}}
	add := func(p *trace.Piece, placed bool) {
		blank := table.Blank()
		status, from, to, layer, position := table.Text("placed"), table.Number(p.RollFrom, 1), table.Number(p.RollTo, 1), table.Int(p.Layer), table.Int(p.Position)
		if p.CutAgain {
			status = table.Text("cut again")
		}
		if !placed {
			status, from, to, layer, position = table.Text("SHORT"), blank, blank, blank, blank
		}
		panel, hand := blank, blank
		if p.Panels > 0 {
			panel = table.Text(fmt.Sprintf("%d of %d", p.Panel, p.Panels))
		}
		if p.OppositeHand {
			hand = table.Text(kit.OppositeHand)
		}
		out.Add(status, table.Text(p.Fabric), table.Text(p.Roll), table.Text(p.Lot), from, to, table.Text(p.Layout), layer, position,
			table.Int(p.Order), table.Text(p.Ply), table.Int(p.Copy), panel, hand, table.Int(p.Kit), table.Int(p.Bag), table.Text(p.BagName),
			table.Text(p.Part), table.Text(p.PartRevision), table.Int(p.Unit), table.Text(t.Job), table.Text(t.Revision), table.Text(string(t.Date)))
	}
	for i := range t.Pieces {
		add(&t.Pieces[i], true)
	}
	for i := range t.Missing {
		add(&t.Missing[i], false)
	}
	return out
}

// Link is a table of one line per unit and roll of a trail, with how many
// pieces passed from the one to the other.
func Link(t *trace.Trail) *table.Table {
	out := &table.Table{Columns: []table.Column{
		{Key: "part", Title: "part"}, {Key: "unit", Title: "unit", Right: true}, {Key: "kit", Title: "kit", Right: true},
		{Key: "fabric", Title: "fabric"}, {Key: "roll", Title: "roll"}, {Key: "lot", Title: "lot"},
		{Key: "layouts", Title: "layouts"}, {Key: "pieces", Title: "pieces", Right: true},
	}}
	type link struct {
		part              string
		unit, kit         int
		fabric, roll, lot string
	}
	var links []link
	pieces := map[link]int{}
	layouts := map[link][]string{}
	for i := range t.Pieces {
		p := &t.Pieces[i]
		l := link{p.Part, p.Unit, p.Kit, p.Fabric, p.Roll, p.Lot}
		if pieces[l] == 0 {
			links = append(links, l)
		}
		pieces[l]++
		if !slices.Contains(layouts[l], p.Layout) {
			layouts[l] = append(layouts[l], p.Layout)
		}
	}
	for _, l := range links {
		names := ""
		for i, n := range layouts[l] {
			if i > 0 {
				names += ", "
			}
			names += n
		}
		roll := l.roll
		if roll == "" {
			roll = "not named"
		}
		out.Add(table.Text(l.part), table.Int(l.unit), table.Int(l.kit), table.Text(l.fabric), table.Text(roll), table.Text(l.lot),
			table.Text(names), table.Int(pieces[l]))
	}
	return out
}
