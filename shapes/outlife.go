package shapes

import "fmt"

// Prepreg keeps in a freezer and cures, slowly, outside it. Its out-life is
// the time it may spend outside between freezer and cure, summed over all
// outings, and a kit inherits what is left of it (CMH-17 Vol. 3, from memory,
// M). The supplier's data sheet says how long.

// Prepreg reports whether the fabric carries its resin already: it has an
// out-life.
func (f *Fabric) Prepreg() bool { return f.OutLife > 0 }

// OutLifeLeft is what is left of a roll's out-life once it is thawed, minutes;
// it is negative where the roll has been out too long. The thaw counts, though
// the roll is cold for part of it: that is the careful side. known is false
// where the fabric has no out-life.
func (f *Fabric) OutLifeLeft(r *Roll) (left float64, known bool) {
	if !f.Prepreg() {
		return 0, false
	}
	return f.OutLife - r.OutUsed - r.Thaw, true
}

// ExpiredOn reports whether a roll may no longer be used on a day. The day it
// expires is its last. Nothing is known where either date is not.
func (r *Roll) ExpiredOn(d Date) bool { return d != "" && r.Expires != "" && d > r.Expires }

// Unfit says why a roll of the fabric may not be used on a day: it has expired,
// or its out-life is used up. It is empty where nothing speaks against it.
func (f *Fabric) Unfit(r *Roll, d Date) string {
	left, known := f.OutLifeLeft(r)
	switch {
	case r.ExpiredOn(d):
		return fmt.Sprintf("it expired on %s and the job is cut on %s", r.Expires, d)
	case known && left <= 0:
		return fmt.Sprintf("its out-life of %.1f h is used up: %.1f h out, %.1f h to thaw", f.OutLife/60, r.OutUsed/60, r.Thaw/60)
	}
	return ""
}
