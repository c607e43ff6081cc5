// Package sheet writes tables as a workbook (XLSX), a sheet for each. Text is
// written as text and never as a formula, whatever it holds; figures as
// figures, with the decimals the table shows.
package sheet

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"plyroom/export/table"
)

// A Sheet is one table and the name of its tab.
type Sheet struct {
	Name  string
	Table *table.Table
}

// mostText is how many characters a cell can hold.
const mostText = 32_767

// Write writes a workbook. Names of sheets are cut to what a tab can hold.
func Write(w io.Writer, title string, sheets ...Sheet) (err error) {
	f := excelize.NewFile()
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	if len(sheets) == 0 {
		return fmt.Errorf("a workbook without sheets")
	}
	// Fixed times keep equal tables equal files.
	const never = "2000-01-01T00:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Title: clean(title), Creator: "plyroom", LastModifiedBy: "plyroom", Created: never, Modified: never}); err != nil {
		return err
	}
	head, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	if err != nil {
		return err
	}
	decimals := map[int]int{}
	for i, s := range sheets {
		name := tab(s.Name, i)
		if i == 0 {
			err = f.SetSheetName("Sheet1", name)
		} else {
			_, err = f.NewSheet(name)
		}
		if err != nil {
			return err
		}
		if err := fill(f, name, s.Table, head, decimals); err != nil {
			return err
		}
	}
	return f.Write(w)
}

// tab makes a name of what a tab can hold: 31 characters, none of []:*?/\.
func tab(name string, i int) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`[]:*?/\'`, r) {
			return ' '
		}
		return r
	}, clean(name))
	if r := []rune(name); len(r) > 31 {
		name = string(r[:31])
	}
	if strings.TrimSpace(name) == "" {
		return fmt.Sprintf("Table %d", i+1)
	}
	return name
}

// clean takes out what a workbook cannot hold.
func clean(s string) string {
	s = table.Plain(s)
	if utf8.RuneCountInString(s) > mostText {
		s = string([]rune(s)[:mostText])
	}
	return s
}

func fill(f *excelize.File, name string, t *table.Table, head int, decimals map[int]int) error {
	for c, col := range t.Columns {
		title := col.Title
		if title == "" {
			title = col.Key
		}
		at, err := excelize.CoordinatesToCellName(c+1, 1)
		if err != nil {
			return err
		}
		if err := f.SetCellStr(name, at, clean(title)); err != nil {
			return err
		}
		if err := f.SetCellStyle(name, at, at, head); err != nil {
			return err
		}
	}
	rows := t.Rows
	if t.Footer != nil {
		rows = append(rows[:len(rows):len(rows)], t.Footer)
	}
	widest := make([]int, len(t.Columns))
	for r, row := range rows {
		if len(row) != len(t.Columns) {
			return fmt.Errorf("sheet: row %d has %d cells for %d columns", r+1, len(row), len(t.Columns))
		}
		for c, cell := range row {
			at, err := excelize.CoordinatesToCellName(c+1, r+2)
			if err != nil {
				return err
			}
			text := cell.String()
			widest[c] = max(widest[c], utf8.RuneCountInString(text))
			if text == "" {
				continue
			}
			v, ok := cell.Figure()
			if !ok {
				if err := f.SetCellStr(name, at, clean(text)); err != nil {
					return err
				}
				continue
			}
			if err := f.SetCellFloat(name, at, v, -1, 64); err != nil {
				return err
			}
			style, err := figureStyle(f, text, decimals)
			if err != nil {
				return err
			}
			if err := f.SetCellStyle(name, at, at, style); err != nil {
				return err
			}
		}
	}
	for c, n := range widest {
		col, err := excelize.ColumnNumberToName(c + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(name, col, col, float64(min(max(n+2, 11), 48))); err != nil {
			return err
		}
	}
	return f.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
}

// figureStyle shows as many decimals as the text of the figure has.
func figureStyle(f *excelize.File, text string, styles map[int]int) (int, error) {
	n := 0
	if i := strings.IndexByte(text, '.'); i >= 0 {
		n = len(text) - i - 1
	}
	if s, ok := styles[n]; ok {
		return s, nil
	}
	format := "0"
	if n > 0 {
		format += "." + strings.Repeat("0", n)
	}
	s, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
	if err == nil {
		styles[n] = s
	}
	return s, err
}
