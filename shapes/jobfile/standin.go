package jobfile

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/token"

	"plyroom/shapes"
)

// changeMark begins the remark on lines of a started job whose figures only
// stand in for the shop's own.
const changeMark = "CHANGE"

// standIns are the fabric of a started job, as New writes it and the reader
// knows it again. The first is its name.
var standIns = []struct{ key, value, remark string }{
	{"name", "FABRIC 1", ""},
	{"construction", "plain", "mat, unidirectional, plain, twill, satin, biaxial, triaxial, quadraxial, film, core"},
	{"areal_mass", "600 g/m2", ""},
	{"width", "1250", "whole width of the roll"},
	{"selvedge", "20", "at each edge, never used for plies"},
}

// newFabric is the fabric of a started job.
func newFabric() string {
	var b strings.Builder
	for i, s := range standIns {
		lead := "    "
		if i == 0 {
			lead = "  - "
		}
		fmt.Fprintf(&b, "%s%s: %s # %s", lead, s.key, s.value, changeMark)
		if s.remark != "" {
			b.WriteString(": " + s.remark)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// changeMarks are the lines of a file that bear the remark CHANGE.
func changeMarks(tokens token.Tokens) map[int]bool {
	marks := map[int]bool{}
	for _, t := range tokens {
		if t.Type == token.CommentType && t.Position != nil && strings.HasPrefix(strings.TrimSpace(t.Value), changeMark) {
			marks[t.Position.Line] = true
		}
	}
	return marks
}

const standInHint = `put in your own; where one is right as it is, take the remark CHANGE off its line`

// doubtStandIns doubts what New wrote of a fabric and nobody has touched: a
// line counts where it still bears its remark and its figure, and the whole
// fabric counts without remarks where every line is as it was written.
func (r *reader) doubtStandIns(m *fields) {
	var left, same []string
	for _, s := range standIns {
		n := m.values[s.key]
		if n == nil || n.kind != scalarNode || n.text != s.value {
			continue
		}
		same = append(same, s.key+" "+s.value)
		if n.change {
			left = append(left, s.key+" "+s.value)
		}
	}
	if len(same) == len(standIns) {
		left = same
	}
	if len(left) == 0 {
		return
	}
	name := quote(m.at("name").text)
	what := strings.Join(left, ", ")
	r.doubt(m.at("name"), "", fmt.Sprintf(`fabric %s still holds what "plyroom new" put in for yours: %s`, name, what), standInHint)
	r.note(`figures of fabric %s are stand-ins from "plyroom new", not the shop's own: %s`, name, what)
}

// doubtDirections doubts the directions of a part's plies where they are all 0
// and their list still bears the remark.
func (r *reader) doubtDirections(m *fields, p *shapes.Part) {
	n := m.values["plies"]
	if n == nil || !n.change {
		return
	}
	directed := false
	for _, d := range p.Plies {
		if d.Direction != 0 {
			return
		}
		directed = directed || d.Fabric != nil && !d.Fabric.Construction.Directionless()
	}
	if !directed {
		return
	}
	r.doubt(n, p.Name, `the directions of all plies are still 0, as "plyroom new" put them in`,
		`put in the part's own; where they are right as they are, take the remark CHANGE off the line of "plies"`)
	r.note(`the directions of the plies of %s are stand-ins from "plyroom new": all are 0`, quote(p.Name))
}
