package plan

import (
	"fmt"
	"slices"
)

// A dealer deals the kits of one fabric to its lots, so that fewest pieces find
// no room and then least fabric is drawn, by branch and bound.
//
// The search deals one kit after the other. What a set of kits comes to on one
// lot is laid, and remembered. A branch is cut off where what is dealt so far
// already lacks more pieces than the best deal known, or as many and draws no
// less: kits that join a lot do not make its plies take less room. Kits that are
// alike are dealt in the order of the lots, since an exchange of two of them
// changes nothing. So the best of all deals is found, as trials lay them, unless
// the trials run out; the first deal looked at, each kit to the first lot that
// holds it beside those before, then stands or the best found by then.
type dealer struct {
	lots int
	kits []int // to be dealt
	// twin is the place in kits of the one before that is alike; -1 for none.
	twin []int
	// bound are kits whose lot is settled, by lot.
	bound [][]int
	// lay tells what some kits come to on one lot.
	lay  func(lot int, kits []int) (lotResult, error)
	stop func() bool // nil: never

	seen    map[string]lotResult
	trials  int
	skipped bool
	at      []int // lot of each kit
	best    []int
	least   lotResult
}

// A lotResult is what one lot's kits came to.
type lotResult struct {
	missing int
	drawn   float64 // mm²
}

// less reports whether a result is better than another.
func (r lotResult) less(o lotResult) bool {
	return r.missing < o.missing || r.missing == o.missing && r.drawn < o.drawn-1
}

// deal finds the lot of each kit.
func (d *dealer) deal() error {
	d.seen = map[string]lotResult{}
	d.at = make([]int, len(d.kits))
	of := make([]lotResult, d.lots)
	for l := range of {
		var err error
		if of[l], _, err = d.try(l, 0); err != nil {
			return err
		}
	}
	first := slices.Clone(of)
	for i := range d.kits {
		for l := range d.lots {
			d.at[i] = l
			r, _, err := d.try(l, i+1)
			if err != nil {
				return err
			}
			if r.missing == first[l].missing {
				first[l] = r
				break
			}
			if l == d.lots-1 {
				d.at[i] = 0
				if first[0], _, err = d.try(0, i+1); err != nil {
					return err
				}
			}
		}
	}
	d.best, d.least = slices.Clone(d.at), sum(first)
	d.trials = 0 // the first deal is owed
	return d.search(0, of)
}

func sum(of []lotResult) lotResult {
	var out lotResult
	for _, r := range of {
		out.missing += r.missing
		out.drawn += r.drawn
	}
	return out
}

// search deals the kits from number i on; of is what each lot has come to.
func (d *dealer) search(i int, of []lotResult) error {
	now := sum(of)
	if !now.less(d.least) {
		return nil
	}
	if i == len(d.kits) {
		d.best, d.least = slices.Clone(d.at), now
		return nil
	}
	first := 0
	if t := d.twin[i]; t >= 0 {
		first = d.at[t]
	}
	for l := first; l < d.lots; l++ {
		d.at[i] = l
		was := of[l]
		r, ok, err := d.try(l, i+1)
		if err != nil {
			return err
		}
		if !ok {
			d.skipped = true
			return nil
		}
		of[l] = r
		if err := d.search(i+1, of); err != nil {
			return err
		}
		of[l] = was
	}
	return nil
}

// try lays on one lot what the first n kits have brought it; false where the
// trials have run out.
func (d *dealer) try(lot, n int) (lotResult, bool, error) {
	kits := slices.Clone(d.bound[lot])
	for i := range n {
		if d.at[i] == lot {
			kits = append(kits, d.kits[i])
		}
	}
	if len(kits) == 0 {
		return lotResult{}, true, nil
	}
	key := fmt.Sprint(lot, kits)
	if r, ok := d.seen[key]; ok {
		return r, true, nil
	}
	if d.best != nil && (d.trials >= maxLotTrials || d.stop != nil && d.stop()) {
		return lotResult{}, false, nil
	}
	d.trials++
	r, err := d.lay(lot, kits)
	if err != nil {
		return r, false, err
	}
	d.seen[key] = r
	return r, true, nil
}
