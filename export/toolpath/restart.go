package toolpath

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// FromPly is what is left to cut when plies 1 to n-1 are free and ply n is not:
// every cut of plies n and up, in order, and no cut of a ply below n. Among
// them are cut-outs, slits and parts of outlines that came before ply n was
// due; a note says which. Labels of windows already begun are not drawn again.
func (p *Path) FromPly(n int) (*Path, error) {
	if n < 1 || n > len(p.Plies) {
		return nil, fmt.Errorf("layout %s has no ply %d; its plies are 1 to %d in cutting order", p.Head.Layout, n, len(p.Plies))
	}
	var cuts []Cut
	for _, c := range p.Cuts {
		if c.Ply >= n {
			cuts = append(cuts, c)
		}
	}
	if len(cuts) == 0 {
		return nil, fmt.Errorf("layout %s: nothing is left to cut from ply %d on; neighbours share all of its edges", p.Head.Layout, n)
	}
	due := 0 // index of the first cut that is not surely made
	for due < len(p.Cuts) && (p.Cuts[due].Ply == 0 || n > 1 && p.Cuts[due].Number <= p.Plies[n-2].Free) {
		due++
	}
	return p.rest(cuts, due, fmt.Sprintf("from-%d", n), p.twice(cuts, n, due)), nil
}

// FromCut is the rest of the path from cut number n on, whatever plies the cuts
// belong to: for an operator who knows that all cuts before it are made.
func (p *Path) FromCut(n int) (*Path, error) {
	if n < 1 || n > len(p.Cuts) {
		return nil, fmt.Errorf("layout %s has no cut %d; its cuts are 1 to %d", p.Head.Layout, n, len(p.Cuts))
	}
	return p.rest(p.Cuts[n-1:], n-1, fmt.Sprintf("from-cut-%d", n), nil), nil
}

// twice words what FromPly may cut a second time.
func (p *Path) twice(cuts []Cut, n, due int) []string {
	again := 0
	for again < len(cuts) && cuts[again].Number < p.Plies[n-1].Free {
		again++
	}
	if again == 0 {
		return nil
	}
	cuts = cuts[:again]
	var plies []int
	for _, c := range cuts {
		plies = append(plies, c.Ply)
	}
	slices.Sort(plies)
	what, they := "cuts "+numbersOf(cuts), "they come"
	if again == 1 {
		what, they = "cut "+numbersOf(cuts), "it comes"
	}
	notes := []string{fmt.Sprintf("%s, of %s, may be cut twice, for %s before the last cut of ply %d: harmless while the fabric lies as it did",
		what, pliesOf(slices.Compact(plies)), they, n)}
	if due >= len(p.Cuts) {
		return notes
	}
	if next := p.Cuts[due]; next.Number > cuts[0].Number {
		notes = append(notes, fmt.Sprintf("every cut before cut %d was made when ply %d came free: to cut nothing of them twice, go on from cut %d",
			next.Number, n-1, next.Number))
		if first := cuts[0].Window; first < next.Window {
			notes = append(notes, fmt.Sprintf("this begins in window %d, and ply %d in window %d: draw the fabric back, or go on from cut %d",
				first+1, n, next.Window+1, next.Number))
		}
	}
	return notes
}

// rest is a path of some of the cuts, after an interruption before the cut at
// index due.
func (p *Path) rest(cuts []Cut, due int, name string, notes []string) *Path {
	q := *p
	q.Cuts, q.Restart = cuts, name
	q.notes = append(slices.Clone(p.notes), notes...)
	if due > 0 {
		q.inkFrom = p.Cuts[due-1].Window + 1
	}
	q.makeMoves()
	return &q
}

// OnlyWindow is the part of the path that is cut in one window, from 0, for
// machines that take a file per window.
func (p *Path) OnlyWindow(window int) *Path {
	q := *p
	q.Cuts, q.Labels = nil, nil
	for _, c := range p.Cuts {
		if c.Window == window {
			q.Cuts = append(q.Cuts, c)
		}
	}
	for _, l := range p.Labels {
		if l.Window == window {
			q.Labels = append(q.Labels, l)
		}
	}
	q.makeMoves()
	return &q
}

// Left are the numbers of the plies that have cuts in this path, in order.
func (p *Path) Left() []int {
	var n []int
	for _, c := range p.Cuts {
		if c.Ply > 0 {
			n = append(n, c.Ply)
		}
	}
	slices.Sort(n)
	return slices.Compact(n)
}

// numbersOf lists the numbers of cuts.
func numbersOf(cuts []Cut) string {
	n := make([]int, len(cuts))
	for i, c := range cuts {
		n[i] = c.Number
	}
	return spans(n)
}

// pliesOf words the numbers of plies.
func pliesOf(plies []int) string {
	if len(plies) == 1 {
		return fmt.Sprintf("ply %d", plies[0])
	}
	return "plies " + spans(plies)
}

// spans words ascending numbers: "4, 8 and 10 to 14".
func spans(n []int) string {
	var words []string
	for i := 0; i < len(n); {
		k := i
		for k+1 < len(n) && n[k+1] == n[k]+1 {
			k++
		}
		if k < i+2 {
			k = i
			words = append(words, strconv.Itoa(n[i]))
		} else {
			words = append(words, fmt.Sprintf("%d to %d", n[i], n[k]))
		}
		i = k + 1
	}
	if last := len(words) - 1; last > 0 {
		return strings.Join(words[:last], ", ") + " and " + words[last]
	}
	return strings.Join(words, "")
}
