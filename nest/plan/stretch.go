package plan

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// A stretch is a length of one roll that can become one layout.
type stretch struct {
	roll *shapes.Roll // never nil; an unnamed roll where the job names none
	from float64      // on the roll, mm from its free end
	// length is the whole stretch with both end allowances, mm; +Inf for as
	// much as needed.
	length float64
	width  float64 // of the roll, mm
	// x is where the usable part begins on the strip the packer sees, and
	// usable how long it is.
	x, usable float64
	flaws     []nest.Flaw // in the stretch's own coordinates
}

// A strip is the stretches of one fabric strung together for the packer, a
// wall between each two.
type strip struct {
	fabric    *shapes.Fabric
	rules     *shapes.Cutting
	stretches []stretch
	width     float64 // usable, of the widest roll
	obstacles []orb.Bound
	// end is the furthest x a ply may reach; +Inf for as much as needed.
	end float64
}

// newStrip strings together what the job's rolls and table offer. Where a roll
// without end passes over a static table, tables says how many lengths of it
// to offer.
func newStrip(f *shapes.Fabric, rules *shapes.Cutting, tables int) *strip {
	s := &strip{fabric: f, rules: rules}
	rolls := f.Rolls
	if len(rolls) == 0 {
		rolls = []shapes.Roll{{}}
	}
	tableLength := math.Inf(1)
	if rules.Table != nil && rules.Table.Kind == shapes.StaticTable && rules.Table.Length > 0 {
		tableLength = rules.Table.Length
	}
	for i := range rolls {
		roll := &rolls[i]
		end := roll.Length
		if end == 0 {
			end = math.Inf(1)
		}
		for from, n := 0.0, 0; from < end && (n < tables || !math.IsInf(end, 1)); n++ {
			length := math.Min(tableLength, end-from)
			s.add(roll, from, length)
			if math.IsInf(length, 1) {
				break
			}
			from += length
		}
		if math.IsInf(end, 1) {
			break // the rolls behind one without end are not reached
		}
	}
	s.string()
	return s
}

func (s *strip) add(roll *shapes.Roll, from, length float64) {
	width := roll.Width
	if width == 0 {
		width = s.fabric.Width
	}
	usable := length - 2*s.rules.EndAllowance
	if usable <= 0 {
		return
	}
	st := stretch{roll: roll, from: from, length: length, width: width, usable: usable}
	for _, f := range roll.Flaws {
		lo, hi := math.Max(f.From, from), math.Min(f.To, from+length)
		if hi > lo {
			st.flaws = append(st.flaws, nest.Flaw{From: nest.Round(lo - from), To: nest.Round(hi - from)})
		}
	}
	s.stretches = append(s.stretches, st)
	s.width = math.Max(s.width, width-2*s.fabric.Selvedge)
}

// string gives every stretch its place on the strip and sets the walls, the
// flaws, and the strips that narrower rolls lack.
func (s *strip) string() {
	// A wall as thick as the gap keeps plies of two layouts from being held
	// apart; it is never so thin that a ply could be thought to touch both
	// sides.
	wall := math.Max(s.rules.Gap, 1)
	x := 0.0
	for i := range s.stretches {
		st := &s.stretches[i]
		st.x = x
		e := s.rules.EndAllowance
		for _, f := range st.flaws {
			lo, hi := math.Max(f.From-e, 0), math.Min(f.To-e, st.usable)
			if hi > lo {
				s.block(x+lo, 0, x+hi, s.width)
			}
		}
		if w := st.width - 2*s.fabric.Selvedge; w < s.width {
			far := st.usable
			if math.IsInf(far, 1) {
				far = 1e6
			}
			s.block(x, w, x+far, s.width)
		}
		x += st.usable
		if i+1 < len(s.stretches) {
			s.block(x, 0, x+wall, s.width)
			x += wall
		}
	}
	s.end = x
}

func (s *strip) block(x0, y0, x1, y1 float64) {
	s.obstacles = append(s.obstacles, orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}})
}

// longest is the longest usable stretch, mm.
func (s *strip) longest() float64 {
	l := 0.0
	for _, st := range s.stretches {
		l = math.Max(l, st.usable)
	}
	return l
}

// at finds the stretch that holds strip coordinate x.
func (s *strip) at(x float64) int {
	for i := len(s.stretches) - 1; i > 0; i-- {
		if x >= s.stretches[i].x {
			return i
		}
	}
	return 0
}
