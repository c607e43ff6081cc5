package kit

import (
	"fmt"
	"math"

	"plyroom/shapes"
)

// DefaultPlanAt is the share of the working time that is planned where the
// job says nothing. Common practice, no source (C).
const DefaultPlanAt = 0.75

// A Plan divides the wet work of one kit. All of it is estimated.
type Plan struct {
	// Resin is its name, or empty.
	Resin string
	// InLaminate is the resin that stays in the laminate, ToMix what has to be
	// mixed for that with Waste (share of the mix left in pots and on tools),
	// kg.
	InLaminate, ToMix, Waste float64
	// MixLimit is the largest mix, kg; 0 where the job does not say.
	MixLimit float64
	// Mixes is how many are mixed in all; 0 where neither a limit nor a
	// working window is known.
	Mixes int
	// WorkingTime of a mix and the planned share of it, Window, minutes; 0
	// where the job does not say.
	WorkingTime, PlanAt, Window float64
	// Pace is kg of laminate per hour; 0 where the job does not say.
	Pace float64
	// Minutes is the whole wet work at that pace; 0 where it is not known.
	Minutes float64
	// Sets are in lay-up order; none where neither pace and working time nor
	// stops nor a limit of thickness are known.
	Sets []Set
	// Alone are the plies that do not fit the window even by themselves.
	Alone []Alone
	// SetThickness is the most laminate laid at once, mm cured; 0 where there
	// is no limit. Thick are the plies, indexes into Kit.Lines, that pass it by
	// themselves.
	SetThickness float64
	Thick        []int
	// Cure is what passes at every stop before the next set, minutes; 0 where
	// the job does not say.
	Cure float64
}

// Stops reports whether the lay-up stops after the set: what is laid has to
// cure, or a planned stop has to pass, before the next set is laid on it.
func (s *Set) Stops() bool { return s.End == EndStop || s.End == EndThickness }

// Stops reports whether the lay-up stops anywhere between two sets.
func (p *Plan) Stops() bool {
	for i := range p.Sets {
		if p.Sets[i].Stops() {
			return true
		}
	}
	return false
}

// An End says why a wet set ends where it does.
type End string

// Why sets end.
const (
	EndLast      End = "last"      // nothing is left to lay
	EndTime      End = "time"      // the next ply would pass the window
	EndStop      End = "stop"      // a planned stop: skin coat, core
	EndThickness End = "thickness" // the next ply would pass the thickness laid at once
)

// A Set is a run of plies laid with one mix, or with several mixed at once.
type Set struct {
	Number int
	// From and To are indexes into Kit.Lines, To not included.
	From, To int
	// First and Last are the lay-up orders.
	First, Last int
	// Mass of laminate, resin in it, and resin to mix, kg.
	Mass, Resin, ToMix float64
	// Minutes of laying at the crew's pace.
	Minutes float64
	// Mixes under the mix limit; 1 where there is no limit, 0 where the set
	// needs no resin.
	Mixes int
	// Thickness is that of all orders of the set, mm, cured.
	Thickness float64
	// End says why it ends; Reason is the job's own word for a stop, or empty.
	End    End
	Reason string
}

// An Alone is a ply that takes longer than the planned window by itself.
type Alone struct {
	// Line is an index into Kit.Lines.
	Line int
	// Minutes it takes; Window is what is planned.
	Minutes, Window float64
	// Pace is what the crew would have to lay, kg/h; WorkingTime is what the
	// resin would have to allow, minutes; Panels is into how many equal pieces
	// the ply would have to be split.
	Pace, WorkingTime float64
	Panels            int
}

// Proposals says what would help, the cheapest first.
func (a Alone) Proposals() []string {
	return []string{
		fmt.Sprintf("more hands: a pace of %.1f kg/h", roundUp(a.Pace, 0.1)),
		fmt.Sprintf("a slower resin: %.0f min working time", math.Ceil(a.WorkingTime-1e-9)),
		fmt.Sprintf("split the ply into %d panels", a.Panels),
	}
}

// slack keeps sums of floating-point masses from spilling over a limit that
// they meet exactly; relative.
const slack = 1e-9

func roundUp(v, step float64) float64 { return math.Ceil(v/step-slack) * step }

// limits are what ends a wet set besides the window.
type limits struct {
	stops     map[int]string // order to reason
	thickness float64
}

// toMix is the resin of a piece that is mixed for it, kg: prepreg brings its
// own.
func (l *Line) toMix() float64 {
	if l.Laminate == nil || l.Fabric.Prepreg() {
		return 0
	}
	return l.Laminate.Resin
}

// planFor is nil where there is nothing to plan: no resin is mixed. It writes
// each line's set.
func planFor(lines []Line, lam *shapes.Laminating, lim limits) *Plan {
	mass, resin := 0.0, 0.0
	for i := range lines {
		if m := lines[i].Laminate; m != nil {
			mass += m.Mass
		}
		resin += lines[i].toMix()
	}
	if lam == nil || resin <= 0 {
		return nil
	}
	p := &Plan{
		Resin: lam.Resin, InLaminate: resin, MixLimit: lam.MixLimit,
		WorkingTime: lam.WorkingTime, PlanAt: lam.PlanAt, Pace: lam.Pace, SetThickness: lim.thickness, Cure: lam.Cure,
	}
	if lam.Waste > 0 && lam.Waste < 1 {
		p.Waste = lam.Waste
	}
	if p.PlanAt <= 0 || p.PlanAt > 1 {
		p.PlanAt = DefaultPlanAt
	}
	p.ToMix = p.mixed(resin)
	p.Window = p.WorkingTime * p.PlanAt
	if p.Pace > 0 {
		p.Minutes = mass / p.Pace * 60
	}
	if p.Pace > 0 && p.Window > 0 || len(lim.stops) > 0 || lim.thickness > 0 {
		p.divide(lines, lim)
		for _, s := range p.Sets {
			p.Mixes += s.Mixes
		}
	} else if p.MixLimit > 0 {
		p.Mixes = p.mixes(p.ToMix)
	}
	return p
}

// mixed is what is mixed so that resin reaches the laminate, kg.
func (p *Plan) mixed(resin float64) float64 { return resin / (1 - p.Waste) }

// mixes is how many mixes an amount takes under the limit.
func (p *Plan) mixes(toMix float64) int {
	switch {
	case toMix <= 0:
		return 0
	case p.MixLimit <= 0:
		return 1
	}
	return max(1, int(math.Ceil(toMix/p.MixLimit*(1-slack))))
}

// divide fills each set with as many plies, in lay-up order, as can be laid
// inside the window and within the limits. What has no resin takes no time;
// where pace or working time are unknown only the limits count.
func (p *Plan) divide(lines []Line, lim limits) {
	window := p.Window * (1 + slack)
	if p.Pace <= 0 || p.Window <= 0 {
		window = math.Inf(1)
	}
	var cur *Set
	for i := range lines {
		l := &lines[i]
		mass, minutes, thick := 0.0, 0.0, 0.0
		if l.Laminate != nil {
			mass, thick = l.Laminate.Mass, l.Laminate.Thickness
		}
		if p.Pace > 0 {
			minutes = mass / p.Pace * 60
		}
		if minutes > window {
			p.Alone = append(p.Alone, p.alone(i, mass, minutes))
		}
		if lim.thickness > 0 && thick > lim.thickness*(1+slack) {
			p.Thick = append(p.Thick, i)
		}
		end, reason := End(""), ""
		stopped := false
		if cur != nil {
			reason, stopped = lim.stops[cur.Last]
		}
		switch {
		case cur == nil:
		case l.Demand.Order != cur.Last && stopped:
			end = EndStop
		case minutes > 0 && cur.Minutes > 0 && cur.Minutes+minutes > window:
			end = EndTime
		case thick > 0 && cur.Mass > 0 && lim.thickness > 0 &&
			thickness(lines[cur.From:i+1]) > lim.thickness*(1+slack):
			end = EndThickness
		}
		if cur == nil || end != "" {
			if cur != nil {
				cur.End = end
				if end == EndStop {
					cur.Reason = reason
				}
			}
			p.Sets = append(p.Sets, Set{Number: len(p.Sets) + 1, From: i, First: l.Demand.Order, End: EndLast})
			cur = &p.Sets[len(p.Sets)-1]
		}
		cur.To, cur.Last = i+1, l.Demand.Order
		cur.Mass += mass
		cur.Resin += l.toMix()
		cur.Minutes += minutes
		l.Set = cur.Number
	}
	for i := range p.Sets {
		s := &p.Sets[i]
		s.Thickness = thickness(lines[s.From:s.To])
		s.ToMix = p.mixed(s.Resin)
		s.Mixes = p.mixes(s.ToMix)
	}
}

// alone says what a ply that outlasts the window would need.
func (p *Plan) alone(line int, mass, minutes float64) Alone {
	return Alone{
		Line: line, Minutes: minutes, Window: p.Window,
		Pace:        mass / p.Window * 60,
		WorkingTime: minutes / p.PlanAt,
		Panels:      max(2, int(math.Ceil(minutes/p.Window*(1-slack)))),
	}
}
