package dxf

import (
	"fmt"
	"io"
	"strings"

	"plyroom/export/toolpath"
)

// Write2010 writes the path as a release 2010 drawing, for readers that ask
// for one: LWPOLYLINE in place of POLYLINE, and layers that begin with INFO
// marked as not plotted. The error is the first of w.
func Write2010(w io.Writer, p *toolpath.Path) error {
	d := newDrawing(w, p)
	d.modern = &modern{next: firstHandle}
	for _, line := range p.Lines() {
		d.text(999, line)
	}
	for _, warning := range p.Warnings {
		d.text(999, "warning: "+warning)
	}
	d.header("AC1024", func() {
		d.group(9, "$DWGCODEPAGE")
		d.group(3, "ANSI_1252")
		d.group(9, "$HANDSEED")
		d.group(5, fmt.Sprintf("%X", firstHandle+d.handles()))
		d.group(9, "$MEASUREMENT")
		d.integer(70, 1)
	})
	d.group(0, "SECTION")
	d.group(2, "CLASSES")
	d.group(0, "ENDSEC")
	d.tables2010()
	d.blocks2010()
	d.group(0, "SECTION")
	d.group(2, "ENTITIES")
	d.entities()
	d.group(0, "ENDSEC")
	d.objects2010()
	d.group(0, "EOF")
	return d.w.Flush()
}

// modern numbers what needs a handle.
type modern struct{ next int }

// Handles of the fixed parts of a drawing. Entities follow from firstHandle.
const (
	tableHandle = 0x01 // and up, one per table, in the order of tables2010
	rowHandle   = 0x20 // and up, one per table row
	modelRecord = 0x50
	paperRecord = 0x51
	modelBlock  = 0x52 // and its end, then paper's
	rootDict    = 0x60
	groupDict   = 0x61
	firstHandle = 0x100
)

// handles is how many entities will be written.
func (d *drawing) handles() int {
	n := len(d.p.Cuts) + 2
	for _, l := range d.p.Labels {
		n += len(l.Lines)
		if l.Text != "" {
			n++
		}
	}
	return n
}

func (d *drawing) handle(code, h int) { d.group(code, fmt.Sprintf("%X", h)) }

// entity writes the common groups of an entity in model space.
func (d *drawing) entity(layer, class string) {
	d.handle(5, d.modern.next)
	d.modern.next++
	d.handle(330, modelRecord)
	d.group(100, "AcDbEntity")
	d.group(8, layer)
	d.group(100, class)
}

func (d *drawing) lwpolyline(name string, vs []vertex, flag int) {
	d.group(0, "LWPOLYLINE")
	d.entity(name, "AcDbPolyline")
	d.integer(90, len(vs))
	d.integer(70, flag)
	for _, v := range vs {
		d.point(10, v.at, false)
		d.bulge(v)
	}
}

// tables2010 writes the nine tables every drawing of that release has.
func (d *drawing) tables2010() {
	d.group(0, "SECTION")
	d.group(2, "TABLES")
	t := tableWriter{d: d, table: tableHandle, row: rowHandle}
	t.open("VPORT", 0)
	t.close()
	t.open("LTYPE", 3)
	for _, name := range []string{"ByBlock", "ByLayer", "Continuous"} {
		t.rowOf("LTYPE", "AcDbLinetypeTableRecord", name)
		d.group(3, "")
		d.integer(72, 65)
		d.integer(73, 0)
		d.real(40, 0)
	}
	t.close()
	t.open("LAYER", len(layers)+1)
	for _, l := range append([]layer{{"0", 7}}, layers...) {
		t.rowOf("LAYER", "AcDbLayerTableRecord", l.name)
		d.integer(62, l.color)
		d.group(6, "Continuous")
		if strings.HasPrefix(l.name, "INFO_") {
			d.integer(290, 0)
		}
		d.integer(370, -3)
	}
	t.close()
	t.open("STYLE", 1)
	t.rowOf("STYLE", "AcDbTextStyleTableRecord", "Standard")
	d.real(40, 0)
	d.real(41, 1)
	d.real(50, 0)
	d.integer(71, 0)
	d.real(42, 2.5)
	d.group(3, "txt")
	d.group(4, "")
	t.close()
	t.open("VIEW", 0)
	t.close()
	t.open("UCS", 0)
	t.close()
	t.open("APPID", 1)
	t.rowOf("APPID", "AcDbRegAppTableRecord", "ACAD")
	t.close()
	t.open("DIMSTYLE", 1)
	d.group(100, "AcDbDimStyleTable")
	d.group(0, "DIMSTYLE")
	d.handle(105, t.row)
	t.row++
	d.handle(330, t.table-1)
	d.group(100, "AcDbSymbolTableRecord")
	d.group(100, "AcDbDimStyleTableRecord")
	d.group(2, "Standard")
	d.integer(70, 0)
	t.close()
	t.open("BLOCK_RECORD", 2)
	for i, name := range []string{"*Model_Space", "*Paper_Space"} {
		d.group(0, "BLOCK_RECORD")
		d.handle(5, modelRecord+i)
		d.handle(330, t.table-1)
		d.group(100, "AcDbSymbolTableRecord")
		d.group(100, "AcDbBlockTableRecord")
		d.group(2, name)
		d.handle(340, 0)
	}
	t.close()
	d.group(0, "ENDSEC")
}

// A tableWriter numbers tables and rows.
type tableWriter struct {
	d          *drawing
	table, row int
}

func (t *tableWriter) open(name string, rows int) {
	d := t.d
	d.group(0, "TABLE")
	d.group(2, name)
	d.handle(5, t.table)
	d.handle(330, 0)
	d.group(100, "AcDbSymbolTable")
	d.integer(70, rows)
	t.table++
}

func (t *tableWriter) rowOf(kind, class, name string) {
	d := t.d
	d.group(0, kind)
	d.handle(5, t.row)
	t.row++
	d.handle(330, t.table-1)
	d.group(100, "AcDbSymbolTableRecord")
	d.group(100, class)
	d.group(2, name)
	d.integer(70, 0)
}

func (t *tableWriter) close() { t.d.group(0, "ENDTAB") }

// blocks2010 writes the two empty blocks of the spaces.
func (d *drawing) blocks2010() {
	d.group(0, "SECTION")
	d.group(2, "BLOCKS")
	for i, name := range []string{"*Model_Space", "*Paper_Space"} {
		h := modelBlock + 2*i
		d.group(0, "BLOCK")
		d.handle(5, h)
		d.handle(330, modelRecord+i)
		d.group(100, "AcDbEntity")
		d.group(8, "0")
		d.group(100, "AcDbBlockBegin")
		d.group(2, name)
		d.integer(70, 0)
		d.real(10, 0)
		d.real(20, 0)
		d.real(30, 0)
		d.group(3, name)
		d.group(1, "")
		d.group(0, "ENDBLK")
		d.handle(5, h+1)
		d.handle(330, modelRecord+i)
		d.group(100, "AcDbEntity")
		d.group(8, "0")
		d.group(100, "AcDbBlockEnd")
	}
	d.group(0, "ENDSEC")
}

// objects2010 writes the root dictionary, which holds no more than it must.
func (d *drawing) objects2010() {
	d.group(0, "SECTION")
	d.group(2, "OBJECTS")
	d.group(0, "DICTIONARY")
	d.handle(5, rootDict)
	d.handle(330, 0)
	d.group(100, "AcDbDictionary")
	d.integer(281, 1)
	d.group(3, "ACAD_GROUP")
	d.handle(350, groupDict)
	d.group(0, "DICTIONARY")
	d.handle(5, groupDict)
	d.handle(330, rootDict)
	d.group(100, "AcDbDictionary")
	d.integer(281, 1)
	d.group(0, "ENDSEC")
}
