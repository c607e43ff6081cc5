package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"

	"plyroom/export/kitlist"
	"plyroom/export/markup"
	"plyroom/export/picture"
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
)

// A page is a record made ready to be written.
type page struct {
	rec    *nest.Record
	ledger *account.Ledger
	kits   []kit.Kit
	knife  map[string]Knife
	// schedule is nil where none is known.
	schedule *kitlist.Schedule
	// rows are the kit lines in page order; a row's place in this list, never
	// a name, makes the ids that tie a ply to its kit row.
	rows []row
	// rowOf finds the row of the k-th placed ply of the i-th layout.
	rowOf    [][]int
	drawings []*picture.Drawing
	textures map[string]int
	thumbs   thumbs
}

// A row is one kit line on the page.
type row struct {
	kit    int
	line   *kit.Line
	layout int // index; -1 where the kit is short of the piece
}

// index numbers the rows and finds the row of every placed ply.
func (p *page) index() error {
	layouts := map[string]int{}
	for i := range p.rec.Layouts {
		layouts[p.rec.Layouts[i].ID] = i
	}
	byKey := map[nest.Key]int{}
	for k := range p.kits {
		for n := range p.kits[k].Lines {
			line := &p.kits[k].Lines[n]
			r := row{kit: k, line: line, layout: -1}
			if line.Place != nil {
				i, ok := layouts[line.Place.Layout]
				if !ok {
					return fmt.Errorf("kit %s: %s lies in layout %s, which the record does not have", p.kits[k].Title(), line.Demand.Key(), line.Place.Layout)
				}
				r.layout = i
			}
			byKey[line.Demand.Key()] = len(p.rows)
			p.rows = append(p.rows, r)
		}
	}
	for i := range p.rec.Layouts {
		l := &p.rec.Layouts[i]
		of := make([]int, len(l.Placed))
		for k := range l.Placed {
			n, ok := byKey[l.Placed[k].Key()]
			if !ok || p.rows[n].layout != i {
				return fmt.Errorf("layout %s: %s is in no kit", l.ID, l.Placed[k].Key())
			}
			of[k] = n
		}
		p.rowOf = append(p.rowOf, of)
	}
	return nil
}

// draw prepares the drawings and the small pictures of the kit rows.
func (p *page) draw() {
	p.textures = picture.PartTextures(p.rec)
	p.thumbs = newThumbs(p.rec)
	for i := range p.rec.Layouts {
		l := &p.rec.Layouts[i]
		of := p.rowOf[i]
		position := make([]int, len(of))
		for k, n := range of {
			position[k] = p.rows[n].line.Place.Position
		}
		p.drawings = append(p.drawings, picture.New(p.rec, l, picture.Options{
			Prefix:   "d" + strconv.Itoa(i) + "-",
			Position: position,
			Tag: func(k int) []string {
				return []string{"id", plyID(of[k]), "data-k", strconv.Itoa(p.rows[of[k]].kit)}
			},
		}))
	}
}

func plyID(n int) string    { return "p" + strconv.Itoa(n) }
func rowID(n int) string    { return "r" + strconv.Itoa(n) }
func layoutID(i int) string { return "layout" + strconv.Itoa(i) }
func kitID(k int) string    { return "kit" + strconv.Itoa(k) }

// digest tells one plan from another, so that ticks made for one never show on
// another of the same name.
func (p *page) digest() string {
	h := sha256.New()
	fmt.Fprintf(h, "%q %q\n", p.rec.Job, p.rec.Revision)
	for _, r := range p.rows {
		fmt.Fprintf(h, "%q", r.line.Demand.Key())
		if pl := r.line.Place; pl != nil {
			fmt.Fprintf(h, " %q %q %v %v %v\n", pl.Layout, pl.Roll, pl.Placed.X, pl.Placed.Y, pl.Placed.RotationDeg)
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}

// title names the job and its revision.
func title(rec *nest.Record) string {
	t := rec.Job
	if rec.Revision != "" {
		t += ", revision " + rec.Revision
	}
	return t
}

func (p *page) write(w *markup.Writer) {
	w.Doctype()
	w.Start("html", "lang", "en")
	head(w, title(p.rec)+" – cutting plan", title(p.rec)+" · cutting plan", pageScript)
	w.Start("body", "data-plan", p.digest())
	w.Leaf("a", "Skip to the plan", "class", "skip", "href", "#main")
	p.sharedPatterns(w)
	p.masthead(w)
	p.bar(w)
	w.Start("main", "id", "main", "tabindex", "-1")
	p.short(w)
	p.overview(w)
	p.layoutSection(w)
	p.shop(w)
	p.kitSection(w)
	w.End()
	w.Line()
	w.Raw("script", pageScript)
	w.End()
	w.End()
	w.Line()
}

// sharedPatterns holds the textures of the pictures, the keys and the bars and
// the small ply shapes. It is drawn nowhere, but must not be hidden: browsers
// drop patterns that are, and on paper the pictures proper are hidden.
func (p *page) sharedPatterns(w *markup.Writer) {
	w.Start("svg", "class", "nowhere", "width", "0", "height", "0", "aria-hidden", "true")
	w.Start("defs")
	keyPatterns(w, len(p.rec.Parts))
	for _, d := range p.drawings {
		d.Patterns(w)
	}
	barPatterns(w)
	p.fibrePatterns(w)
	p.thumbs.write(w)
	w.End()
	w.End()
	w.Line()
}
