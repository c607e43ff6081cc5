package toolpath_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/shapes"
)

// Names and arrows lie on their ply, whatever its shape, and can be read.
func TestLabelsLieOnTheirPly(t *testing.T) {
	for _, rec := range []*nest.Record{cutcase.Small(), cutcase.Random(4, 40)} {
		l := &rec.Layouts[0]
		p := plan(t, rec, toolpath.Machine{})
		named := map[int]bool{}
		for _, lab := range p.Labels {
			assert.True(t, lab.Angle > -90 && lab.Angle <= 90)
			if lab.Kind != toolpath.Name && lab.Kind != toolpath.Fibre {
				continue
			}
			named[lab.Placed] = named[lab.Placed] || lab.Kind == toolpath.Name
			one := *l
			one.Placed = l.Placed[lab.Placed : lab.Placed+1]
			for _, s := range append(lab.Strokes(), lab.Lines...) {
				for _, v := range s {
					assert.Positive(t, depthInside(&one, v), "%s: %v", one.Placed[0].Key(), v)
				}
			}
		}
		assert.Greater(t, len(named), len(l.Placed)/2)
	}
}

// By default nothing is drawn on the net ply: no move belongs to a label.
func TestNoInkByDefault(t *testing.T) {
	rec := cutcase.Small()
	for _, ink := range []bool{false, true} {
		rec.Rules.Ink = ink
		drawn := 0
		for _, m := range plan(t, rec, toolpath.Machine{}).Moves {
			if m.Label >= 0 {
				drawn++
				assert.Equal(t, 2, m.Tool)
			} else {
				assert.Equal(t, 1, m.Tool)
			}
		}
		assert.Equal(t, ink, drawn > 0)
	}
}

// All ink of a window comes before its first cut.
func TestInkComesFirst(t *testing.T) {
	rec := cutcase.Random(4, 40)
	rec.Rules.Ink = true
	p := plan(t, rec, toolpath.Machine{Window: 600})
	cutting := map[int]bool{}
	for _, m := range p.Moves {
		if m.Op != toolpath.Draw && m.Op != toolpath.Write {
			continue
		}
		if m.Cut >= 0 {
			cutting[m.Window] = true
		} else {
			assert.False(t, cutting[m.Window])
		}
	}
	assert.Positive(t, p.Stats.Ink)
}

// The pen draws every stroke of every label once, in an order that goes a
// shorter way than label by label.
func TestInkGoesAShortWay(t *testing.T) {
	rec := cutcase.Random(11, 300)
	rec.Rules.Ink = true
	p := plan(t, rec, toolpath.Machine{})
	drawn, writings, travel := map[int]float64{}, 0, 0.0
	at := orb.Point{}
	for _, m := range p.Moves {
		if m.Cut >= 0 {
			break
		}
		d := math.Hypot(m.To[0]-at[0], m.To[1]-at[1])
		switch m.Op {
		case toolpath.Travel:
			travel += d
		case toolpath.Draw:
			drawn[m.Label] += d
		case toolpath.Write:
			writings++
		}
		at = m.To
	}
	plain := 0.0
	at = orb.Point{}
	to := func(q orb.Point) {
		plain += math.Hypot(q[0]-at[0], q[1]-at[1])
		at = q
	}
	texts := 0
	for i, l := range p.Labels {
		long := 0.0
		for _, line := range l.Lines {
			to(line[0])
			at = line[len(line)-1]
			for k := 1; k < len(line); k++ {
				long += math.Hypot(line[k][0]-line[k-1][0], line[k][1]-line[k-1][1])
			}
		}
		if l.Text != "" {
			to(l.At)
			texts++
		}
		assert.InDelta(t, long, drawn[i], 1e-6, "label %d", i)
	}
	assert.Equal(t, texts, writings)
	assert.Less(t, travel, 0.7*plain, "%.0f mm against %.0f mm label by label", travel, plain)
}

// Ink stays within what the machine reaches: marks that cross the end of a
// window are drawn in parts, and names move aside. Nothing of a mark is lost.
func TestInkStaysWithinReach(t *testing.T) {
	for seed := uint64(1); seed < 5; seed++ {
		rec := cutcase.Random(seed, 24)
		if seed == 1 {
			rec = cutcase.Small()
		}
		rec.Rules.Ink = true
		whole := plan(t, rec, toolpath.Machine{})
		for _, reach := range []float64{200, 333, 500, 700} {
			p := plan(t, rec, toolpath.Machine{Window: reach})
			if reach < 400 {
				require.Greater(t, len(p.Windows), 1)
			}
			first := map[int]int{} // the window a window's first cut is in
			for i, m := range p.Moves {
				if m.Cut >= 0 && first[m.Window] == 0 {
					first[m.Window] = i + 1
				}
				if m.Op != toolpath.Travel && m.Op != toolpath.Draw && m.Op != toolpath.Write || m.Cut >= 0 {
					continue
				}
				w := p.Windows[m.Window]
				assert.True(t, m.To[0] >= w.From-1e-6 && m.To[0] <= w.To+1e-6, "%v is not in %v", m.To, w)
				assert.Zero(t, first[m.Window], "ink after a cut")
			}
			for _, l := range p.Labels {
				if l.Text == "" || len(p.Windows) == 1 {
					continue
				}
				half := 0.75 * l.Height * float64(len([]rune(l.Text))) / 2 * math.Cos(l.Angle*math.Pi/180)
				w := p.Windows[l.Window]
				assert.True(t, l.At[0]-half >= w.From-1e-6 && l.At[0]+half <= w.To+1e-6, "%q", l.Text)
			}
			assert.InDelta(t, inkLength(whole), inkLength(p), 1e-6, "seed %d, window %g", seed, reach)
		}
	}
}

// inkLength is the length of all lines in ink.
func inkLength(p *toolpath.Path) float64 {
	var s float64
	for _, l := range p.Labels {
		for _, line := range l.Lines {
			for i := 1; i < len(line); i++ {
				s += math.Hypot(line[i][0]-line[i-1][0], line[i][1]-line[i-1][1])
			}
		}
	}
	return s
}

// A turned ply shows its marks mirrored with it, its writing never.
func TestMarksMoveWithThePly(t *testing.T) {
	rec := cutcase.Small()
	p := plan(t, rec, toolpath.Machine{})
	for _, lab := range p.Labels {
		if lab.Kind != toolpath.Datum {
			continue
		}
		pl := rec.Layouts[0].Placed[lab.Placed]
		// The datum runs from (20, 150) to (90, 150), the ply is turned by 30°
		// one way or the other: worked for the turned one, placed at (1250,
		// 350): (20, -150) turned by 30° is (92.32, -119.90).
		if pl.TurnedOver {
			assert.InDelta(t, 1250+92.3205, lab.Lines[0][0][0], 1e-3)
			assert.InDelta(t, 350-119.9038, lab.Lines[0][0][1], 1e-3)
		}
	}
}

// A mat has no fibre arrow.
func TestNoArrowOnMat(t *testing.T) {
	rec := cutcase.Small()
	rec.Fabrics[0].Construction = shapes.Mat
	for _, lab := range plan(t, rec, toolpath.Machine{}).Labels {
		assert.NotEqual(t, toolpath.Fibre, lab.Kind)
	}
}

func TestStrokesOfEveryLetter(t *testing.T) {
	for r := ' '; r <= '~'; r++ {
		l := toolpath.Label{Text: string(r), At: orb.Point{0, 0}, Height: 6}
		s := l.Strokes()
		assert.Equal(t, r == ' ' || r == '`' || r == '{' || r == '}', len(s) == 0 || r == '`' || r == '{' || r == '}', "%q", r)
		for _, line := range s {
			require.GreaterOrEqual(t, len(line), 2, "%q", r)
			for _, v := range line {
				assert.True(t, v[0] >= -2.001 && v[0] <= 2.001 && v[1] >= -3.001 && v[1] <= 3.001, "%q: %v", r, v)
			}
		}
	}
}

// In a spread only the marks of the top ply are drawn, and slits that only one
// of the two has are refused: the knife goes through both.
func TestMarksAndSlitsOfASpread(t *testing.T) {
	rec := cutcase.Spread()
	q := rec.Shapes[0]
	q.ID = "Q"
	q.Marks = []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{50, 50}, {80, 50}}}}
	rec.Shapes = append(rec.Shapes, q)
	marks := func() (n int) {
		for _, lab := range plan(t, rec, toolpath.Machine{}).Labels {
			if lab.Kind == toolpath.Mark {
				n++
			}
		}
		return n
	}
	rec.Demand[0].Shape = "Q" // ply A, in layer 1
	assert.Zero(t, marks())
	rec.Demand[0].Shape, rec.Demand[1].Shape = "P", "Q" // ply B, in layer 2
	assert.Equal(t, 1, marks())

	q.Marks[0].Kind = shapes.MarkSlit
	_, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
	assert.ErrorContains(t, err, "Shell, unit 1, A and Shell, unit 1, B lie on each other and have different slits")
	rec.Demand[0].Shape = "Q"
	assert.Len(t, plan(t, rec, toolpath.Machine{}).Cuts, 3, "a slit that both have is cut once")
}
