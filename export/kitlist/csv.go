package kitlist

import (
	"io"

	"plyroom/export/table"
	"plyroom/nest/kit"
)

// columns of the CSV. The last three are to be ticked or filled in by hand.
var columns = []table.Column{
	{Key: "job"}, {Key: "revision"}, {Key: "part"}, {Key: "part_revision"},
	{Key: "unit"}, {Key: "units"}, {Key: "kit"},
	{Key: "order"}, {Key: "ply"}, {Key: "copy"}, {Key: "panel"}, {Key: "panels"}, {Key: "joint"}, {Key: "overlap_mm"},
	{Key: "outline"}, {Key: "fabric"},
	{Key: "direction_deg"}, {Key: "tolerance_deg"}, {Key: "laid_deg"}, {Key: "deviation_deg"},
	{Key: "hand"}, {Key: "face"},
	{Key: "size_x_mm"}, {Key: "size_y_mm"}, {Key: "cut_x_mm"}, {Key: "cut_y_mm"},
	{Key: "net_area_m2"}, {Key: "cut_area_m2"},
	{Key: "fibre_kg"}, {Key: "resin_kg"}, {Key: "laminate_kg"}, {Key: "thickness_mm"},
	{Key: "layout"}, {Key: "position"}, {Key: "layer"}, {Key: "roll"}, {Key: "lot"}, {Key: "out_life_left_h"}, {Key: "expires"},
	{Key: "bag"}, {Key: "bag_name"}, {Key: "packing"}, {Key: "wet_set"},
	{Key: "status"}, {Key: "note"},
	{Key: "cut"}, {Key: "kitted"}, {Key: "laid"},
}

// WriteCSV writes one line per piece in lay-up order and a last line of
// totals with the word "total" under order.
//
// Angles are degrees counter-clockwise looking down on the tool; direction is
// what is asked of this hand, and the word "any" for what has no direction.
// Sizes are bounding boxes along the datum. Masses are of the piece as cut;
// they are empty for what has no fibre.
func WriteCSV(w io.Writer, k *kit.Kit) error {
	t := table.Table{Columns: columns}
	for i := range k.Lines {
		t.Add(record(k, &k.Lines[i])...)
	}
	t.Footer = footer(k)
	return t.WriteCSV(w)
}

func record(k *kit.Kit, l *kit.Line) []table.Cell {
	blank := table.Blank()
	cells := append(head(k), table.Int(l.Demand.Order), table.Text(l.Demand.Ply), table.Int(l.Demand.Copy))
	if p := l.Demand.Panel; p != nil {
		cells = append(cells, table.Int(p.Number), table.Int(p.Of), table.Text(string(p.Joint)), table.Number(p.Overlap, 1))
	} else {
		cells = append(cells, blank, blank, blank, blank)
	}
	cells = append(cells, table.Text(l.Shape.Name), table.Text(l.Fabric.Name))
	if l.Directionless() {
		cells = append(cells, table.Text("any"), blank, blank, blank)
	} else {
		cells = append(cells, table.Number(l.AskedDeg, 2), table.Number(l.Demand.ToleranceDeg, 2))
		if l.Place != nil {
			cells = append(cells, table.Number(l.LaidDeg(), 2), table.Number(l.Place.Placed.DeviationDeg, 2))
		} else {
			cells = append(cells, blank, blank)
		}
	}
	cells = append(cells, table.Text(l.Hand()), table.Text(l.Face()),
		table.Number(l.Net.X, 1), table.Number(l.Net.Y, 1),
		table.Number(l.Cut.X, 1), table.Number(l.Cut.Y, 1),
		table.Number(l.NetArea/1e6, 6), table.Number(l.CutArea/1e6, 6))
	if m := l.Laminate; m != nil {
		cells = append(cells, table.Number(m.Fibre, 6), known(m.Resin, 6), known(m.Mass, 6), known(m.Thickness, 3))
	} else {
		cells = append(cells, blank, blank, blank, blank)
	}
	status := "placed"
	if p := l.Place; p != nil {
		if p.CutAgain {
			status = "cut again"
		}
		cells = append(cells, table.Text(p.Layout), table.Int(p.Position), table.Int(p.Layer), table.Text(p.Roll), table.Text(p.Lot))
	} else {
		status = "SHORT"
		cells = append(cells, blank, blank, blank, blank, blank)
	}
	if l.Life != nil {
		cells = append(cells, table.Number(l.Life.Left/60, 2), table.Text(string(l.Life.Expires)))
	} else {
		cells = append(cells, blank, blank)
	}
	set := blank
	if l.Set > 0 {
		set = table.Int(l.Set)
	}
	return append(cells, table.Int(l.Bag), table.Text(l.Demand.Bag), table.Text(l.Packing.String()), set,
		table.Text(status), table.Text(l.Demand.Note), blank, blank, blank)
}

func head(k *kit.Kit) []table.Cell {
	return []table.Cell{
		table.Text(k.Job), table.Text(k.Revision), table.Text(k.Part), table.Text(k.PartRevision),
		table.Int(k.Unit), table.Int(k.Units), table.Int(k.Number),
	}
}

func footer(k *kit.Kit) []table.Cell {
	at := map[string]table.Cell{
		"order":       table.Text("total"),
		"net_area_m2": table.Number(k.Totals.NetArea/1e6, 6),
		"cut_area_m2": table.Number(k.Totals.CutArea/1e6, 6),
		"fibre_kg":    table.Number(k.Totals.Fibre, 6),
		"resin_kg":    known(k.Totals.Resin, 6),
		"laminate_kg": known(k.Totals.Mass, 6),
	}
	cells := head(k)
	for _, c := range columns[len(cells):] {
		cells = append(cells, at[c.Key])
	}
	return cells
}

// known is blank for what is not known.
func known(v float64, decimals int) table.Cell {
	if v <= 0 {
		return table.Blank()
	}
	return table.Number(v, decimals)
}
