package kitlist

import (
	"plyroom/export/table"
	"plyroom/nest/kit"
)

// OffTable is a table of one line per placed piece in the order off the table:
// layout by layout, position by position, the upper layer first, with the kit
// and bag each goes to, so that one walk along the table fills the kits.
func OffTable(kits []kit.Kit) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "layout", Title: "layout"},
		{Key: "position", Title: "no.", Right: true},
		{Key: "layer", Title: "layer", Right: true},
		{Key: "fabric", Title: "fabric"},
		{Key: "roll", FileOnly: true},
		{Key: "lot", FileOnly: true},
		{Key: "part", Title: "part"},
		{Key: "unit", Title: "unit", Right: true},
		{Key: "kit", Title: "kit", Right: true},
		{Key: "bag", FileOnly: true},
		{Key: "bag_name", Title: "bag"},
		{Key: "order", Title: "order", Right: true},
		{Key: "ply", Title: "ply"},
		{Key: "copy", Title: "copy", Right: true},
		{Key: "hand", Title: "hand"},
		{Key: "face", Title: "face"},
		{Key: "packing", Title: "packing"},
		{Key: "lifted", FileOnly: true},
	}}
	for _, p := range walk(kits) {
		l, at := p.line, p.line.Place
		t.Add(table.Text(at.Layout), table.Int(at.Position), table.Int(at.Layer), table.Text(l.Fabric.Name),
			table.Text(at.Roll), table.Text(at.Lot), table.Text(p.kit.Part), table.Int(p.kit.Unit), table.Int(p.kit.Number),
			table.Int(l.Bag), table.Text(l.Demand.Bag), table.Int(l.Demand.Order), table.Text(l.Demand.Ply), table.Int(l.Demand.Copy),
			table.Text(l.Hand()), table.Text(l.Face()), table.Text(l.Packing.String()), table.Blank())
	}
	return t
}
