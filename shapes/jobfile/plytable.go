package jobfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"plyroom/shapes"
)

// readTableOf reads the ply table of a part: a CSV file whose columns are the
// keys of a ply, split.joint, split.overlap and so on for the keys of a split,
// separated by commas, semicolons or tabs; a first line "sep=;", as spreadsheets
// write it, says by what. Lines before the header that begin
// with # are remarks; "# revision: B" states the table's own revision. Empty
// cells count as missing.
func (r *reader) readTableOf(m *fields) (rows []*node, revision string) {
	name, ok := m.text("ply_table")
	if !ok || r.badPath(m.at("ply_table"), name) {
		return nil, ""
	}
	path := r.beside(name)
	data, err := r.files.read(path, maxTableBytes)
	if err != nil {
		m.fault("ply_table", fmt.Sprintf("ply table %s cannot be read: %s", quote(filepath.ToSlash(path)), why(err)), r.nearFile(path))
		return nil, ""
	}
	t := table{r: r, file: path}
	t.read(data)
	return t.rows, t.revision
}

// A table is a ply table being read.
type table struct {
	r    *reader
	file string
	// lines are the file's own lines, to count columns in characters.
	lines    [][]byte
	revision string
	columns  []column
	rows     []*node
}

// A column is one key of a ply, or of its split.
type column struct {
	name  string // empty where the column is not known
	split bool
}

func (t *table) fault(line, column int, message, hint string) {
	t.r.report(shapes.Problem{Severity: shapes.Fault, File: t.file, Line: line, Column: column, Message: message, Hint: hint})
}

func (t *table) read(data []byte) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if line, ok := invalidUTF8(data); ok {
		t.fault(line, 0, "the file is not UTF-8 text", "save it as CSV in UTF-8")
		return
	}
	if !bytes.ContainsRune(data, '\n') {
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n")) // as old Macs wrote lines
	}
	data, stated := takeSeparator(data)
	data = t.takeRemarks(data)
	t.lines = bytes.Split(data, []byte("\n"))
	cr := csv.NewReader(bytes.NewReader(data))
	if cr.Comma = separator(data); stated != 0 {
		cr.Comma = stated
	}
	cr.FieldsPerRecord = -1
	cr.TrimLeadingSpace = cr.Comma != '\t'
	var header bool
	for {
		record, err := cr.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			t.fault(bad.StartLine, 0, "not CSV: a quotation mark stands inside a cell or is never closed", "")
			return
		}
		if err != nil {
			t.fault(0, 0, "not CSV: "+oneLine(err.Error()), "")
			return
		}
		if blank(record) {
			continue
		}
		if !header {
			header = true
			if !t.header(record, cr) {
				return
			}
			continue
		}
		t.row(record, cr)
	}
	switch {
	case !header:
		t.fault(1, 0, "the ply table is empty", "")
	case len(t.rows) == 0:
		t.fault(1, 0, "the ply table lists no ply", "")
	}
}

// takeRemarks leaves out the lines before the header that are empty or begin
// with #, and reads the revision from them. Their line breaks stay, so that
// line numbers do.
func (t *table) takeRemarks(data []byte) []byte {
	lines := 0
	for len(data) > 0 {
		line, rest, found := bytes.Cut(data, []byte("\n"))
		remark := strings.Trim(strings.TrimSpace(string(line)), `",;`)
		if remark != "" && !strings.HasPrefix(remark, "#") {
			break
		}
		word, value, _ := strings.Cut(strings.TrimLeft(remark, "# "), ":")
		if strings.EqualFold(strings.TrimSpace(word), "revision") {
			if value = strings.TrimSpace(value); value != "" && len(value) <= maxName && oneLine(value) == value {
				t.revision = value
			}
		}
		data = rest
		if found {
			lines++
		}
	}
	return append(bytes.Repeat([]byte("\n"), lines), data...)
}

// takeSeparator reads the separator from a first line such as sep=; and leaves
// that line empty; 0 where there is none.
func takeSeparator(data []byte) ([]byte, rune) {
	line, rest, found := bytes.Cut(data, []byte("\n"))
	text := strings.Trim(strings.TrimRight(string(line), "\r"), `" `)
	if len(text) < 5 || !strings.EqualFold(text[:4], "sep=") || !found {
		return data, 0
	}
	if c := rune(text[4]); strings.ContainsRune(",;\t|", c) {
		return append([]byte("\n"), rest...), c
	}
	return data, 0
}

// separator is the one of comma, semicolon and tab that the header line holds
// most of.
func separator(data []byte) rune {
	line := bytes.TrimLeft(data, "\r\n")
	if i := bytes.IndexByte(line, '\n'); i >= 0 {
		line = line[:i]
	}
	best, most := ',', bytes.Count(line, []byte(","))
	for _, c := range ";\t" {
		if n := bytes.Count(line, []byte(string(c))); n > most {
			best, most = c, n
		}
	}
	return best
}

func blank(record []string) bool {
	for _, cell := range record {
		if strings.TrimSpace(cell) != "" {
			return false
		}
	}
	return true
}

// place is the line and column of a cell, the column in characters.
func (t *table) place(record []string, cr *csv.Reader, i int) (line, column int) {
	line, column = cr.FieldPos(min(i, len(record)-1))
	if line >= 1 && line <= len(t.lines) {
		if text := t.lines[line-1]; column >= 1 && column <= len(text)+1 {
			column = utf8.RuneCount(text[:column-1]) + 1
		}
	}
	return line, column
}

// header reads the names of the columns; false where nothing can be read
// below them.
func (t *table) header(record []string, cr *csv.Reader) bool {
	known := plyForm.names()
	for _, k := range splitForm.names() {
		known = append(known, "split."+k)
	}
	first := map[string]bool{}
	right := 0
	for i, cell := range record {
		line, col := t.place(record, cr, i)
		name := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(cell)), " ", "_")
		c := column{}
		key, isSplit := strings.CutPrefix(name, "split.")
		switch {
		case name == "":
			// A column without a name is taken to be empty; a cell in it is
			// reported with its row.
		case first[name]:
			t.fault(line, col, fmt.Sprintf("column %s stands twice", quote(cell)), "")
		case isSplit && splitForm.find(key) != nil:
			c = column{name: key, split: true}
			right++
		case plyForm.find(name) != nil:
			c = column{name: name}
			right++
		default:
			t.fault(line, col, "unknown column "+quote(cell), suggest(name, known))
		}
		first[name] = name != ""
		t.columns = append(t.columns, c)
	}
	line, _ := t.place(record, cr, 0)
	if right == 0 {
		t.fault(line, 0, "no column of this header is known", "known: "+strings.Join(known, ", "))
		return false
	}
	missing := false
	for _, k := range plyForm.keys {
		if k.required && !first[k.name] {
			t.fault(line, 0, fmt.Sprintf("the ply table lacks the column %q", k.name), "")
			missing = true
		}
	}
	return !missing
}

// row turns a record into the mapping of a ply.
func (t *table) row(record []string, cr *csv.Reader) {
	line, _ := t.place(record, cr, 0)
	out := &node{kind: mapNode, file: t.file, line: line, column: 1}
	var split *node
	for i, cell := range record {
		if strings.TrimSpace(cell) == "" {
			continue
		}
		cellLine, cellColumn := t.place(record, cr, i)
		if i >= len(t.columns) {
			t.fault(cellLine, cellColumn, fmt.Sprintf("the row has %d cells, the header only %d", len(record), len(t.columns)), "")
			break
		}
		c := t.columns[i]
		if c.name == "" {
			continue
		}
		name := &node{text: c.name, file: t.file, line: cellLine, column: cellColumn}
		cellNode := &node{text: cell, file: t.file, line: cellLine, column: cellColumn}
		if !c.split {
			out.pairs = append(out.pairs, pair{key: name, value: cellNode})
			continue
		}
		if split == nil {
			split = &node{kind: mapNode, file: t.file, line: cellLine, column: cellColumn}
		}
		if c.name == "seams" {
			cellNode = seamsCell(cellNode)
		}
		split.pairs = append(split.pairs, pair{key: name, value: cellNode})
	}
	if split != nil {
		out.pairs = append(out.pairs, pair{key: &node{text: "split", file: t.file, line: split.line, column: split.column}, value: split})
	}
	t.rows = append(t.rows, out)
}

// seamsCell splits a cell of seams, which are separated by spaces.
func seamsCell(cell *node) *node {
	out := &node{kind: listNode, file: cell.file, line: cell.line, column: cell.column}
	for _, s := range strings.Fields(cell.text) {
		out.items = append(out.items, &node{text: s, file: cell.file, line: cell.line, column: cell.column})
	}
	return out
}
