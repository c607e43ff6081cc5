package table

import (
	"encoding/csv"
	"fmt"
	"io"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// A Column is one column of a table.
type Column struct {
	// Key heads the column in CSV, unit included: "fibre_kg".
	Key string
	// Title heads it on a terminal; empty takes Key.
	Title string
	// Right aligns it to the right on a terminal, as figures are.
	Right bool
	// FileOnly leaves the column out on a terminal.
	FileOnly bool
}

// A Table is rows of cells under columns.
type Table struct {
	// Title stands above it on a terminal; it is not written to CSV.
	Title   string
	Columns []Column
	Rows    [][]Cell
	// Footer is the last line, set off on a terminal, or nil.
	Footer []Cell
}

// Add appends a row.
func (t *Table) Add(cells ...Cell) { t.Rows = append(t.Rows, cells) }

// fits reports a row that has more or fewer cells than there are columns.
func (t *Table) fits() error {
	for i, r := range t.Rows {
		if len(r) != len(t.Columns) {
			return fmt.Errorf("table: row %d has %d cells for %d columns", i+1, len(r), len(t.Columns))
		}
	}
	if t.Footer != nil && len(t.Footer) != len(t.Columns) {
		return fmt.Errorf("table: the footer has %d cells for %d columns", len(t.Footer), len(t.Columns))
	}
	return nil
}

// WriteCSV writes the table with its footer as CSV.
func (t *Table) WriteCSV(w io.Writer) error {
	if err := t.fits(); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	line := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		line[i] = c.Key
	}
	if err := out.Write(line); err != nil {
		return err
	}
	rows := t.Rows
	if t.Footer != nil {
		rows = append(rows[:len(rows):len(rows)], t.Footer)
	}
	for _, r := range rows {
		for i, c := range r {
			line[i] = c.csv()
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// leastText is how narrow a column of text may become, characters.
const leastText = 10

// WriteText writes the table for a terminal of a width in characters; 0 sets
// no limit. Where the table is wider, its columns of text are broken over
// lines, the widest first, down to ten characters. Figures are never broken
// and nothing is left out, so a table of many figures may stay wider.
func (t *Table) WriteText(w io.Writer, width int) error {
	if err := t.fits(); err != nil {
		return err
	}
	p := table.NewWriter()
	p.SetStyle(style())
	p.SuppressTrailingSpaces()
	if t.Title != "" {
		p.SetTitle(Plain(t.Title))
	}
	var configs []table.ColumnConfig
	header := table.Row{}
	for _, c := range t.Columns {
		if c.FileOnly {
			continue
		}
		title := c.Title
		if title == "" {
			title = c.Key
		}
		header = append(header, title)
		cfg := table.ColumnConfig{Number: len(header)}
		if c.Right {
			cfg.Align, cfg.AlignHeader, cfg.AlignFooter = text.AlignRight, text.AlignRight, text.AlignRight
		}
		configs = append(configs, cfg)
	}
	t.narrow(configs, width)
	p.SetColumnConfigs(configs)
	p.AppendHeader(header)
	for _, r := range t.Rows {
		p.AppendRow(t.shown(r))
	}
	if t.Footer != nil {
		p.AppendFooter(t.shown(t.Footer))
	}
	_, err := io.WriteString(w, p.Render()+"\n")
	return err
}

// narrow sets the widths of text columns so that the table fits.
func (t *Table) narrow(configs []table.ColumnConfig, width int) {
	if width <= 0 {
		return
	}
	natural := make([]int, len(configs))
	rows := append([][]Cell{}, t.Rows...)
	if t.Footer != nil {
		rows = append(rows, t.Footer)
	}
	n, total := 0, 0
	var words []int // columns of text
	for i, c := range t.Columns {
		if c.FileOnly {
			continue
		}
		title := c.Title
		if title == "" {
			title = c.Key
		}
		w := text.StringWidth(title)
		for _, r := range rows {
			w = max(w, text.StringWidth(Plain(r[i].text)))
		}
		natural[n] = w
		total += w + len(columnGap)
		if !c.Right {
			words = append(words, n)
		}
		n++
	}
	for total > width {
		widest := -1
		for _, i := range words {
			if natural[i] > leastText && (widest < 0 || natural[i] > natural[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return
		}
		natural[widest]--
		total--
		configs[widest].WidthMax = natural[widest]
		configs[widest].WidthMaxEnforcer = text.WrapSoft
	}
}

func (t *Table) shown(cells []Cell) table.Row {
	row := table.Row{}
	for i, c := range cells {
		if !t.Columns[i].FileOnly {
			row = append(row, Plain(c.text))
		}
	}
	return row
}

// columnGap keeps columns apart.
const columnGap = "  "

// style is ours: no box, a rule under the head and above the foot, and words
// as they are written.
func style() table.Style {
	s := table.StyleLight
	s.Format = table.FormatOptions{
		Header: text.FormatDefault, Row: text.FormatDefault, Footer: text.FormatDefault,
	}
	s.Format.FooterAlign, s.Format.HeaderAlign = text.AlignDefault, text.AlignDefault
	s.Options = table.OptionsNoBordersAndSeparators
	s.Options.SeparateHeader = true
	s.Options.SeparateFooter = true
	s.Box.PaddingLeft = ""
	s.Box.PaddingRight = columnGap
	s.Title = table.TitleOptions{Align: text.AlignLeft, Format: text.FormatDefault}
	return s
}
