package plan

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes"
)

// A source is where one layer of a stretch comes from.
type source struct {
	roll *shapes.Roll // never nil; an unnamed roll where the job names none
	from float64      // on the roll, mm from its free end, as planned
}

// A stretch is a length of each layer's roll that can become one layout.
type stretch struct {
	sources []source // bottom up
	// length is the whole stretch with both end allowances, mm; +Inf for as
	// much as needed.
	length float64
	// width is the whole width on the table, and high the upper end of the
	// usable strip, mm from the lower edges, which are aligned.
	width, high float64
	// drawn is the width of all layers together, mm: what fabric each mm of
	// length draws.
	drawn float64
	// x is where the usable part begins on the strip the packer sees, and
	// usable how long it is.
	x, usable float64
	flaws     []nest.Flaw // of any layer, in the stretch's own coordinates
}

// A strip is the stretches of one stack strung together for the packer, a
// wall between each two.
type strip struct {
	layers    []demand.Layer
	fabrics   []*shapes.Fabric // of the layers
	rules     *shapes.Cutting
	stretches []stretch
	low       float64 // lower end of the usable strip on the table, mm
	width     float64 // of the widest usable strip, mm
	obstacles []orb.Bound
	// end is the furthest x a ply may reach; +Inf for as much as needed.
	end float64
	// limited tells that every stretch there is was strung: no roll goes on
	// behind them.
	limited bool
}

// newStrip strings together what rolls and table offer to a stack of layers,
// beginning at the rolls' free ends. Where rolls without end pass over a static
// table, tables says how many lengths of it to offer. Several layers of one
// fabric are drawn one after the other from one roll.
func newStrip(st *stock, fabrics map[string]*shapes.Fabric, layers []demand.Layer, eitherFace bool, rules *shapes.Cutting, tables int) *strip {
	s := &strip{layers: layers, rules: rules, limited: true}
	feeds := map[demand.Layer]*feed{}
	var order []*feed
	for _, l := range layers {
		f := fabrics[l.Fabric]
		s.fabrics = append(s.fabrics, f)
		s.low = math.Max(s.low, f.Selvedge)
		key := demand.Layer{Fabric: l.Fabric, Lot: l.Lot}
		if feeds[key] == nil {
			feeds[key] = &feed{stock: st, rolls: st.rolls(l, len(layers) == 1, eitherFace), at: map[*shapes.Roll]float64{}}
			order = append(order, feeds[key])
		}
		feeds[key].layers++
	}
	tableLength := math.Inf(1)
	if rules.Table != nil && rules.Table.Kind == shapes.StaticTable && rules.Table.Length > 0 {
		tableLength = rules.Table.Length
	}
	least := 2 * rules.EndAllowance
	for endless := 0; ; {
		short := order[0]
		for _, f := range order {
			if f.room() < short.room() {
				short = f
			}
		}
		length := short.room()
		if length <= least {
			if !short.change() {
				break
			}
			continue
		}
		if math.IsInf(length, 1) {
			s.limited = false
			if endless++; endless > tables {
				break
			}
		}
		length = math.Min(length, tableLength)
		out := stretch{length: length, usable: length - least}
		taken := map[*feed]int{}
		for _, l := range layers {
			f := feeds[demand.Layer{Fabric: l.Fabric, Lot: l.Lot}]
			from := f.place()
			if n := taken[f]; n > 0 {
				from += float64(float64(n) * length)
			}
			taken[f]++
			out.sources = append(out.sources, source{f.rolls[0], from})
		}
		s.add(out)
		if math.IsInf(length, 1) {
			break
		}
		for _, f := range order {
			f.draw(float64(float64(f.layers) * length))
		}
	}
	s.string()
	return s
}

// A feed gives out the rolls of one fabric to the layers that lie on the
// table.
type feed struct {
	stock  *stock
	rolls  []*shapes.Roll
	layers int
	at     map[*shapes.Roll]float64 // drawn by this strip
}

func (f *feed) place() float64 { return f.stock.next[f.rolls[0]] + f.at[f.rolls[0]] }

// room is the length each layer can have from the roll at hand. Several layers
// of one roll are taken from before its next flaw only, since the place of a
// flaw in the upper layers would hang on the length of the layout.
func (f *feed) room() float64 {
	if len(f.rolls) == 0 {
		return 0
	}
	r := f.rolls[0]
	if f.layers == 1 {
		return f.stock.left(r) - f.at[r]
	}
	return (f.stock.clear(r) - f.at[r]) / float64(f.layers)
}

func (f *feed) draw(length float64) { f.at[f.rolls[0]] += length }

// change goes on to the next roll; false where there is none.
func (f *feed) change() bool {
	if len(f.rolls) > 0 {
		f.rolls = f.rolls[1:]
	}
	return len(f.rolls) > 0
}

func (s *strip) add(st stretch) {
	st.high = math.Inf(1)
	for i, src := range st.sources {
		width := rollWidth(s.fabrics[i], src.roll)
		st.drawn += width
		st.width = math.Max(st.width, width)
		st.high = math.Min(st.high, width-s.fabrics[i].Selvedge)
		for _, f := range src.roll.Flaws {
			lo, hi := math.Max(f.From, src.from), math.Min(f.To, src.from+st.length)
			if hi > lo {
				st.flaws = append(st.flaws, nest.Flaw{From: nest.Round(lo - src.from), To: nest.Round(hi - src.from)})
			}
		}
	}
	if st.high <= s.low {
		return
	}
	s.stretches = append(s.stretches, st)
	s.width = math.Max(s.width, st.high-s.low)
}

// rollWidth is the whole width of a roll, mm.
func rollWidth(f *shapes.Fabric, r *shapes.Roll) float64 {
	if r.Width > 0 {
		return r.Width
	}
	return f.Width
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
		if w := st.high - s.low; w < s.width {
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

// room is what the strip offers to a ply.
func (s *strip) room() demand.Room {
	return demand.Room{Width: s.width, Length: s.longest(), Gap: s.rules.Gap}
}

// drawnLength is what layouts draw whose plies reach as far as reach on the
// strip: the stretches up to there without the walls, with their end
// allowances, mm.
func (s *strip) drawnLength(reach float64) float64 {
	sum := 0.0
	for _, st := range s.stretches {
		if used := math.Min(reach-st.x, st.usable); used > 0 {
			sum += used + 2*s.rules.EndAllowance
		}
	}
	return sum
}
