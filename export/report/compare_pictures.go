package report

import (
	"math"
	"strconv"

	"plyroom/export/markup"
	"plyroom/export/picture"
	"plyroom/nest"
	"plyroom/nest/account"
)

// columnWriting is how much larger writing must be in a picture that has only a
// column of the page.
const columnWriting = 1.7

// pageUnits is the width of a page in units of writing of a sensible size.
const pageUnits = 270

// pictures shows the layouts that hold a fabric, one column for each run, all
// at one scale.
func (c *comparison) pictures(w *markup.Writer, fabric, id string) {
	drawings := make([][]*picture.Drawing, len(c.runs))
	longest, unit := 1.0, 0.0
	for _, r := range c.runs {
		for i := range r.Record.Layouts {
			if l := &r.Record.Layouts[i]; layerOf(l, fabric) != 0 {
				unit = math.Max(unit, columnWriting*picture.Unit(l))
			}
		}
	}
	for k, r := range c.runs {
		for i := range r.Record.Layouts {
			l := &r.Record.Layouts[i]
			if layerOf(l, fabric) == 0 {
				continue
			}
			d := picture.New(r.Record, l, picture.Options{Prefix: id + "-" + strconv.Itoa(k) + "-" + strconv.Itoa(i) + "-", Unit: unit})
			_, _, wide, _ := d.Box()
			longest = math.Max(longest, wide)
			drawings[k] = append(drawings[k], d)
		}
	}
	// Where all are short, the page's width is more than they need.
	longest = math.Max(longest, pageUnits/float64(min(len(c.runs), 3))*unit)
	w.Start("div", "class", "side n"+strconv.Itoa(min(len(c.runs), 3)))
	for k, r := range c.runs {
		w.Start("section", "class", "column")
		w.Leaf("h3", runName(r, k))
		n := 0
		for i := range r.Record.Layouts {
			l := &r.Record.Layouts[i]
			layer := layerOf(l, fabric)
			if layer == 0 {
				continue
			}
			d := drawings[k][n]
			n++
			w.Start("figure")
			_, _, wide, _ := d.Box()
			d.Open(w, d.Title(), "class", "still", "width", mm(100*wide/longest)+"%")
			w.Start("defs")
			d.Patterns(w)
			w.End()
			d.Ground(w)
			d.Plies(w, layer)
			w.End()
			w.Start("figcaption")
			w.Leaf("b", l.ID)
			w.Text(" " + fixed(l.Length/1e3, 3) + thin + "m · " + count(piecesOn(l, layer), "ply", "plies"))
			if b := r.layerBooks(l, layer); b.Drawn > 0 {
				w.Text(" · " + percent(b.NetYield()) + " net")
			}
			w.End()
			w.End()
		}
		if n == 0 {
			w.Leaf("p", "not cut in this plan", "class", "note")
		}
		w.End()
	}
	w.End()
}

// layerOf is the layer of a layout that a fabric lies in; 0 where it does not.
func layerOf(l *nest.Layout, fabric string) int {
	for _, ly := range l.Layers {
		if ly.Fabric == fabric {
			return ly.Layer
		}
	}
	return 0
}

func piecesOn(l *nest.Layout, layer int) int {
	n := 0
	for i := range l.Placed {
		if l.Placed[i].Layer == layer {
			n++
		}
	}
	return n
}

func (r Run) layerBooks(l *nest.Layout, layer int) account.Books {
	for _, lb := range r.Ledger.Layers {
		if lb.Layout != nil && lb.Layout.ID == l.ID && lb.Layer < len(l.Layers) && l.Layers[lb.Layer].Layer == layer {
			return lb.Books
		}
	}
	return account.Books{}
}

// key explains the pictures, with the parts as the first run lists them.
func (c *comparison) key(w *markup.Writer) {
	rec := c.runs[0].Record
	textures := picture.PartTextures(rec)
	w.Start("ul", "class", "key", "aria-label", "Parts")
	for _, part := range rec.Parts {
		w.Start("li")
		partSign(w, textures[part.Part])
		w.Text(part.Part)
		w.End()
	}
	w.End()
	signs(w)
}
