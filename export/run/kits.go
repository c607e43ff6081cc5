package run

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"plyroom/export/kitlist"
	"plyroom/export/labels"
	"plyroom/export/paper"
	"plyroom/export/table"
	"plyroom/nest"
	"plyroom/nest/kit"
)

// A Paper is a size of sheet that documents can be printed on, and how labels
// stand on it and in which order.
type Paper struct {
	size   paper.Size
	labels labels.Grid
	order  labels.Order
}

// Papers finds a paper by name: a4 or letter.
func Papers(name string) (Paper, error) {
	switch name {
	case "a4", "":
		return Paper{size: paper.A4, labels: labels.Sheet24()}, nil
	case "letter":
		return Paper{size: paper.Letter, labels: labels.Sheet24Letter()}, nil
	}
	return Paper{}, fmt.Errorf("unknown paper %q; known are a4 and letter", name)
}

// WriteKits writes a kit list per part and unit, as CSV and PDF, and what
// stands above them: the overview of all kits, the walk off the table, the
// timetable where there is one, and a document of all three for the cutting
// room.
func WriteKits(dir folder, prefix string, rec *nest.Record, kits []kit.Kit, c *kitlist.Schedule, p Paper) error {
	tables := []struct {
		name  string
		table *table.Table
	}{{"overview.csv", kitlist.Overview(kits)}, {"off-the-table.csv", kitlist.OffTable(kits)}}
	if c != nil {
		tables = append(tables, struct {
			name  string
			table *table.Table
		}{"timetable.csv", kitlist.Timetable(c)})
	}
	for _, t := range tables {
		if err := create(dir, prefix+t.name, t.table.WriteCSV); err != nil {
			return err
		}
	}
	if err := create(dir, prefix+"cutting-room.pdf", func(w io.Writer) error {
		return kitlist.WriteRoom(w, kitlist.Room{Kits: kits, Schedule: c}, kitlist.Settings{Paper: p.size, Notes: rec.Notes})
	}); err != nil {
		return err
	}
	for i := range kits {
		k := &kits[i]
		// The number keeps names apart and sorts them as the kits are handed over.
		base := prefix + fileName(fmt.Sprintf("kit %0*d", digits(k.Of), k.Number), k.Part, fmt.Sprintf("unit %d", k.Unit))
		if err := create(dir, base+".csv", func(w io.Writer) error { return kitlist.WriteCSV(w, k) }); err != nil {
			return err
		}
		if err := create(dir, base+".pdf", func(w io.Writer) error {
			return kitlist.WritePDF(w, k, kitlist.Settings{Paper: p.size, Notes: kitNotes(rec.Notes), Overrun: c.Overrun(k)})
		}); err != nil {
			return err
		}
	}
	return nil
}

// UsedAnyway ends a note about a roll that is past its day or its out-life and
// was used because that was asked for.
const UsedAnyway = "; it is used all the same, as was asked for"

// kitNotes are those of a record's notes that belong on every kit list. The
// others count plies of the whole job or tell of the search: they stand on the
// page and in the cutting room's document.
func kitNotes(notes []string) []string {
	var out []string
	for _, n := range notes {
		if strings.HasSuffix(n, UsedAnyway) {
			out = append(out, n)
		}
	}
	return out
}

// WithLabels changes how labels stand on the paper and the order they are
// printed in: a grid as labels.ParseGrid reads it, or a roll of labels as
// labels.ParseRoll does, and an order as labels.ParseOrder does. Empty texts
// leave things as they are.
func (p Paper) WithLabels(grid, roll, order string) (Paper, error) {
	var err error
	switch {
	case grid != "" && roll != "":
		return p, errors.New("labels stand on a grid or on a roll, not on both")
	case grid != "":
		p.labels, err = labels.ParseGrid(grid, p.size)
	case roll != "":
		p.labels, err = labels.ParseRoll(roll)
	}
	if err != nil {
		return p, err
	}
	p.order, err = labels.ParseOrder(order)
	return p, err
}

// WriteLabels writes the tags and bag sheets of all kits. It says what cannot
// be printed; empty where everything can.
func WriteLabels(w io.Writer, kits []kit.Kit, p Paper) (remark string, err error) {
	missing, err := labels.Write(w, kits, labels.Settings{Grid: p.labels, Order: p.order})
	return labels.MissingWords(missing), err
}

// WriteTag writes the tag of one ply, without the sheets of bags.
func WriteTag(w io.Writer, kits []kit.Kit, ply nest.Key, p Paper) (remark string, err error) {
	missing, err := labels.Write(w, kits, labels.Settings{Grid: p.labels, Order: p.order, NoBags: true, Only: &ply})
	return labels.MissingWords(missing), err
}

func digits(n int) int { return len(strconv.Itoa(n)) }
