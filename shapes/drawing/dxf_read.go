package drawing

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
	"golang.org/x/text/encoding/charmap"

	"plyroom/shapes"
)

// dxfFile is a DXF file taken apart: blocks and entities as items in the
// file's own units, not yet placed.
type dxfFile struct {
	s       *sheet
	r       *groupReader
	text    textDecoder
	version string
	units   int
	metric  int // $MEASUREMENT, -1 absent
	layers  map[string]dxfLayer
	blocks  map[string]*dxfBlock
	items   []*dxfItem
	found   int // sections
	ended   bool
	placed  int // entities, blocks taken apart
}

type dxfLayer struct{ frozen, off bool }

type dxfBlock struct {
	name     string
	base     orb.Point
	items    []*dxfItem
	external bool // its entities are in another file
}

// blockExternal are the flags of a block that stands for another drawing.
const blockExternal = 4 | 8

// readDXF reads a DXF file of any version into the sheet.
func (s *sheet) readDXF(data []byte) {
	f := &dxfFile{s: s, r: newGroupReader(data), metric: -1, layers: map[string]dxfLayer{}, blocks: map[string]*dxfBlock{}}
	f.text = textDecoder{page: charmap.Windows1252}
	f.sections()
	if s.halted {
		return
	}
	if f.r.err != nil {
		line := f.r.line
		if f.r.binary {
			line = 0
		}
		if f.found == 0 {
			s.halt(line, "is not a DXF drawing: "+f.r.err.Error(), "save it as DXF again")
			return
		}
		s.halt(line, "the drawing is damaged: "+f.r.err.Error(), "save it as DXF again")
		return
	}
	if f.found == 0 && len(f.items) == 0 {
		s.halt(0, "holds no section of a DXF drawing", "save it as DXF again")
		return
	}
	if !f.ended {
		s.problem(shapes.Doubt, nil, nil, "the file has no end mark and may be cut short", "compare what was read with the drawing")
	}
	s.Version = f.version
	if !f.resolveUnit() {
		return
	}
	f.place()
}

// resolveUnit decides the unit of length; false halts the reading.
func (f *dxfFile) resolveUnit() bool {
	s := f.s
	stated, known := dxfUnits[f.units]
	job, given, _ := s.opt.jobUnit()
	switch {
	case given:
		if known && stated.Millimetres != job.Millimetres {
			s.problem(shapes.Doubt, nil, nil, fmt.Sprintf("the drawing states %s, %s %s, which is taken", stated.Name, s.given(), job.Name), "compare a size with the drawing")
		}
		s.Unit = job
	case known:
		s.Unit = stated
		s.Unit.FromFile = true
	default:
		hint := s.unitRemedy()
		switch f.metric {
		case 0:
			hint += " (the drawing says only that it is not metric: in or ft)"
		case 1:
			hint += " (the drawing says only that it is metric)"
		}
		s.halt(0, "the drawing does not state its unit of length", hint)
		return false
	}
	s.toMM = scaling(s.Unit.Millimetres, s.Unit.Millimetres)
	return true
}

// sections walks the file.
func (f *dxfFile) sections() {
	for {
		g, ok := f.r.next()
		if !ok || f.s.halted {
			return
		}
		if g.code != 0 {
			continue
		}
		switch word(g) {
		case "EOF":
			f.ended = true
			return
		case "SECTION":
			g, ok := f.r.next()
			if !ok {
				return
			}
			if g.code != 2 {
				f.r.back()
				continue
			}
			f.found++
			switch word(g) {
			case "HEADER":
				f.header()
			case "TABLES":
				f.tables()
			case "BLOCKS":
				f.readBlocks()
			case "ENTITIES":
				f.items = append(f.items, f.entities("ENDSEC")...)
			}
		}
	}
}

func word(g group) string { return strings.ToUpper(strings.TrimSpace(string(g.text))) }

// header reads the variables that matter.
func (f *dxfFile) header() {
	name := ""
	for {
		g, ok := f.r.next()
		if !ok {
			return
		}
		switch {
		case g.code == 0:
			f.r.back()
			return
		case g.code == 9:
			name = word(g)
		case name == "$ACADVER" && g.code == 1:
			f.version = word(g)
			if f.version >= "AC1021" {
				f.text = textDecoder{}
			}
		case name == "$DWGCODEPAGE" && g.code == 3:
			if f.version >= "AC1021" {
				continue
			}
			if e, ok := codePage(word(g)); ok {
				f.text = textDecoder{page: e, stated: true}
			} else {
				f.s.problem(shapes.Doubt, nil, nil, fmt.Sprintf("code page %q is not known; Western European is assumed", clip(word(g))), "compare the names with the drawing")
			}
		case name == "$INSUNITS" && g.code == 70:
			f.units, _ = g.int()
		case name == "$MEASUREMENT" && g.code == 70:
			if v, ok := g.int(); ok {
				f.metric = v
			}
		}
	}
}

// tables reads the states of layers.
func (f *dxfFile) tables() {
	var name string
	var layer dxfLayer
	inLayer := false
	flush := func() {
		if inLayer {
			f.layers[strings.ToUpper(name)] = layer
		}
		inLayer, name, layer = false, "", dxfLayer{}
	}
	for {
		g, ok := f.r.next()
		if !ok {
			return
		}
		switch {
		case g.code == 0:
			flush()
			switch word(g) {
			case "ENDSEC":
				return
			case "SECTION", "EOF":
				f.r.back()
				return
			}
			inLayer = word(g) == "LAYER"
		case inLayer && g.code == 2:
			name = f.text.decode(g.text)
		case inLayer && g.code == 70:
			v, _ := g.int()
			layer.frozen = v&1 != 0
		case inLayer && g.code == 62:
			v, _ := g.int()
			layer.off = v < 0
		}
	}
}

// readBlocks reads block definitions.
func (f *dxfFile) readBlocks() {
	for {
		g, ok := f.r.next()
		if !ok || f.s.halted {
			return
		}
		if g.code != 0 {
			continue
		}
		switch word(g) {
		case "ENDSEC":
			return
		case "SECTION", "EOF":
			f.r.back()
			return
		case "BLOCK":
			gs := f.groups()
			b := &dxfBlock{name: f.text.decode(gs.text(2)), base: orb.Point{gs.float(10, 0), gs.float(20, 0)}}
			b.items = f.entities("ENDBLK")
			b.external = gs.int(70, 0)&blockExternal != 0
			f.blocks[strings.ToUpper(b.name)] = b
		}
	}
}
