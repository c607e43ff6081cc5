// Package compare sets finished plans side by side: what each draws, wastes and
// costs, how far each turns the fibre, and which plies lie elsewhere. It never
// searches.
package compare

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"plyroom/nest"
	"plyroom/nest/account"
)

// A Run is one plan and the name it goes by.
type Run struct {
	Name   string
	Record *nest.Record
}

// Figures are what one run comes to, for one fabric or in all.
type Figures struct {
	account.Summary
	// TurnedOver counts plies cut face down.
	TurnedOver int `json:"turned_over"`
	// MeanDeviation and LargestDeviation are of the fibre from the direction
	// asked for, degrees without sign.
	MeanDeviation    float64 `json:"mean_deviation_deg"`
	LargestDeviation float64 `json:"largest_deviation_deg"`
}

// A Row is one fabric across all runs; Figures[i] is nil where run i cuts none
// of it.
type Row struct {
	Fabric  string
	Figures []*Figures
}

// A Comparison holds runs side by side.
type Comparison struct {
	Runs []Run
	// Ledgers are the books of each run.
	Ledgers []*account.Ledger
	// Rows are the fabrics in the order of the first run that has them.
	Rows []Row
	// Total sums each run.
	Total []Figures
	// Work is what each run asks of the cutting room.
	Work []Work
	// Moves lists, for each run, the plies that lie in another place than in
	// the first run: another layout, or more than a millimetre or a tenth of a
	// degree away. Moved counts them.
	Moves [][]Move
	Moved []int
	// Differences says how the demand of the runs differs; empty where all
	// runs lay the same plies.
	Differences []string
	// Terms says under which other rules and at which other prices runs were
	// laid than the first, a sentence without full stop for each run; empty
	// where all were laid alike.
	Terms []string
}

// Doubts are the differences of the demand, the first few of many.
func (c *Comparison) Doubts() []string {
	if n := len(c.Differences); n > mostDifferences {
		return append(c.Differences[:mostDifferences:mostDifferences], fmt.Sprintf("and %d more differences", n-mostDifferences))
	}
	return c.Differences
}

// DifferentPlies says that the runs do not lay the same plies, so that their
// figures say nothing about the layouts.
type DifferentPlies struct {
	Differences []string
}

// mostDifferences is how many differences a message lists.
const mostDifferences = 10

// Error lists what differs.
func (e *DifferentPlies) Error() string {
	shown, more := e.Differences, ""
	if len(shown) > mostDifferences {
		more = fmt.Sprintf("\nand %d more", len(shown)-mostDifferences)
		shown = shown[:mostDifferences]
	}
	return "the runs lay different plies:\n" + strings.Join(shown, "\n") + more
}

// Runs compares two or more runs. Runs of different plies give
// *DifferentPlies, unless anyway is set: the differences are then listed in
// the comparison.
func Runs(runs []Run, anyway bool) (*Comparison, error) {
	if len(runs) < 2 {
		return nil, fmt.Errorf("a comparison needs at least two runs, %d given", len(runs))
	}
	c := &Comparison{Runs: runs}
	for _, r := range runs[1:] {
		c.Differences = append(c.Differences, differences(runs[0], r)...)
		if t := terms(runs[0], r); t != "" {
			c.Terms = append(c.Terms, t)
		}
	}
	if len(c.Differences) > 0 && !anyway {
		return nil, &DifferentPlies{c.Differences}
	}
	index := map[string]int{}
	for i, r := range runs {
		led, err := account.Measure(r.Record)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", r.Name, err)
		}
		c.Ledgers = append(c.Ledgers, led)
		for _, s := range led.Fabrics {
			at, ok := index[s.Fabric]
			if !ok {
				at = len(c.Rows)
				index[s.Fabric] = at
				c.Rows = append(c.Rows, Row{Fabric: s.Fabric, Figures: make([]*Figures, len(runs))})
			}
			f := figures(r.Record, s, s.Fabric)
			c.Rows[at].Figures[i] = &f
		}
		c.Total = append(c.Total, figures(r.Record, led.Total, ""))
		c.Work = append(c.Work, work(r.Record))
		moves := Moves(runs[0].Record, r.Record)
		c.Moves, c.Moved = append(c.Moves, moves), append(c.Moved, len(moves))
	}
	return c, nil
}

// figures measures one fabric of a record, or all where the name is empty.
func figures(r *nest.Record, s account.Summary, fabric string) Figures {
	f := Figures{Summary: s}
	n, sum := 0, 0.0
	for i := range r.Layouts {
		for k := range r.Layouts[i].Placed {
			p := &r.Layouts[i].Placed[k]
			if fabric != "" && p.Fabric != fabric {
				continue
			}
			if p.TurnedOver {
				f.TurnedOver++
			}
			n++
			sum += math.Abs(p.DeviationDeg)
			f.LargestDeviation = math.Max(f.LargestDeviation, math.Abs(p.DeviationDeg))
		}
	}
	if n > 0 {
		f.MeanDeviation = sum / float64(n)
	}
	return f
}

// whole lists the plies of a record, a divided one as one piece.
func whole(r *nest.Record) map[nest.Key]nest.Demand {
	out := map[nest.Key]nest.Demand{}
	for _, d := range r.Demand {
		if d.Panel != nil {
			d.Ply, d.Shape = d.Panel.Ply, d.Panel.Whole
		}
		out[d.Key()] = d
	}
	return out
}

// differences lists how the demand of b differs from that of a. Shapes are
// compared by their net outlines, so that another trim is no difference of
// plies, and neither are other seams.
func differences(a, b Run) []string {
	da, db := whole(a.Record), whole(b.Record)
	sa, sb := a.Record.ShapesByID(), b.Record.ShapesByID()
	var out []string
	for k, d := range da {
		e, ok := db[k]
		switch {
		case !ok:
			out = append(out, fmt.Sprintf("%s: in %s, not in %s", k, a.Name, b.Name))
		case d.Fabric != e.Fabric:
			out = append(out, fmt.Sprintf("%s: fabric %q in %s, %q in %s", k, d.Fabric, a.Name, e.Fabric, b.Name))
		case d.DirectionDeg != e.DirectionDeg:
			out = append(out, fmt.Sprintf("%s: direction %g° in %s, %g° in %s", k, d.DirectionDeg, a.Name, e.DirectionDeg, b.Name))
		case d.OppositeHand != e.OppositeHand:
			out = append(out, fmt.Sprintf("%s: of the other hand in %s", k, b.Name))
		case !sameOutline(sa[d.Shape], sb[e.Shape]):
			out = append(out, fmt.Sprintf("%s: another outline in %s", k, b.Name))
		}
	}
	for k := range db {
		if _, ok := da[k]; !ok {
			out = append(out, fmt.Sprintf("%s: in %s, not in %s", k, b.Name, a.Name))
		}
	}
	sort.Strings(out)
	return out
}

func sameOutline(a, b *nest.Shape) bool {
	if a == nil || b == nil {
		return a == b
	}
	return samePolygon(a.Net, b.Net)
}

// sameVertex is how far apart vertices of one outline may be read, mm: two
// exports of one drawing agree to better than this.
const sameVertex = 1e-3

func samePolygon(a, b nest.Polygon) bool {
	if len(a.Holes) != len(b.Holes) || !sameRing(a.Outline, b.Outline) {
		return false
	}
	for i := range a.Holes {
		if !sameRing(a.Holes[i], b.Holes[i]) {
			return false
		}
	}
	return true
}

func sameRing(a, b nest.Ring) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(a[i][0]-b[i][0]) > sameVertex || math.Abs(a[i][1]-b[i][1]) > sameVertex {
			return false
		}
	}
	return true
}
