package labels

import (
	"fmt"
	"io"
	"sort"

	"plyroom/export/paper"
	"plyroom/nest"
	"plyroom/nest/kit"
)

// Order is the order tags are printed in.
type Order int

const (
	// LayUp prints kit by kit and bag by bag, in lay-up order.
	LayUp Order = iota
	// Pile prints kit by kit and bag by bag, last order first, as the pile is
	// built.
	Pile
	// OffTable prints the tags as the pieces come off the table, layout by
	// layout, after all bag sheets.
	OffTable
)

// Settings change how labels are printed. The zero value is ready to use.
type Settings struct {
	// Grid is where labels stand; zero takes Sheet24.
	Grid Grid
	// Order is LayUp where nothing is said.
	Order Order
	// Skip is how many labels of the first sheet have been used already.
	Skip int
	// NoBags leaves out the bag sheets.
	NoBags bool
	// Only prints the tag of one ply and no other; nil prints all.
	Only *nest.Key
}

// Write prints the labels of kits. Pieces that are short get no tag. Where
// names hold characters that the fonts lack, a last label says so, and they
// are returned.
func Write(w io.Writer, kits []kit.Kit, s Settings) (missing []rune, err error) {
	if s.Grid.Page.Width == 0 {
		s.Grid = Sheet24()
	}
	if err := s.Grid.check(); err != nil {
		return nil, err
	}
	for i := range kits {
		if kits[i].Job != kits[0].Job || kits[i].Revision != kits[0].Revision {
			return nil, fmt.Errorf("labels: kits of job %q revision %q and of job %q revision %q; tags of different jobs or revisions are not printed together",
				kits[0].Job, kits[0].Revision, kits[i].Job, kits[i].Revision)
		}
	}
	title := "Labels"
	if len(kits) > 0 {
		title = "Labels: " + kits[0].Job
	}
	p := &printer{doc: paper.New(s.Grid.Page, title), grid: s.Grid, next: max(0, s.Skip)}
	perPage := s.Grid.Columns * s.Grid.Rows
	if p.next >= perPage {
		return nil, fmt.Errorf("labels: %d labels to skip on a sheet of %d", s.Skip, perPage)
	}
	p.doc.AddPage()
	for _, l := range list(kits, s) {
		x, y := p.place()
		var err error
		if l.line == nil {
			err = p.bag(x, y, l.kit, l.bag)
		} else {
			err = p.tag(x, y, l.kit, l.line)
		}
		if err != nil {
			return nil, fmt.Errorf("labels: %s: %w", l.kit.Title(), err)
		}
	}
	if missing = p.doc.Missing(); len(missing) > 0 {
		p.remark(missing)
	}
	return missing, p.doc.Write(w)
}

// Count is how many ply tags and bag sheets Write prints.
func Count(kits []kit.Kit, s Settings) (tags, bags int) {
	for _, l := range list(kits, s) {
		if l.line == nil {
			bags++
		} else {
			tags++
		}
	}
	return tags, bags
}

// A label is a tag (line set) or a bag sheet.
type label struct {
	kit  *kit.Kit
	bag  *kit.Bag
	line *kit.Line
}

// list is what is printed, in order.
func list(kits []kit.Kit, s Settings) []label {
	var out, table []label
	for i := range kits {
		k := &kits[i]
		for j := range k.Bags {
			b := &k.Bags[j]
			if !s.NoBags {
				out = append(out, label{kit: k, bag: b})
			}
			for n := range b.Lines {
				if s.Order == Pile {
					n = len(b.Lines) - 1 - n
				}
				l := &k.Lines[b.Lines[n]]
				switch {
				case l.Place == nil, s.Only != nil && l.Demand.Key() != *s.Only:
				case s.Order == OffTable:
					table = append(table, label{k, b, l})
				default:
					out = append(out, label{k, b, l})
				}
			}
		}
	}
	sort.SliceStable(table, func(i, j int) bool {
		return table[i].line.Place.Before(table[j].line.Place)
	})
	return append(out, table...)
}

// A printer fills pages with labels.
type printer struct {
	doc  *paper.Doc
	grid Grid
	next int // on the current page
}

// place is the corner of the next label.
func (p *printer) place() (x, y float64) {
	if p.next == p.grid.Columns*p.grid.Rows {
		p.doc.AddPage()
		p.next = 0
	}
	x, y = p.grid.at(p.next)
	p.next++
	if p.grid.Frame {
		w, h := p.grid.Width, p.grid.Height
		p.doc.Dashed(x, y, x+w, y, paper.Hairline, 0.5)
		p.doc.Dashed(x, y+h, x+w, y+h, paper.Hairline, 0.5)
		p.doc.Dashed(x, y, x, y+h, paper.Hairline, 0.5)
		p.doc.Dashed(x+w, y, x+w, y+h, paper.Hairline, 0.5)
	}
	return x, y
}
