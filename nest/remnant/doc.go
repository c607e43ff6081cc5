// Package remnant keeps the pieces of fabric that are left over and worth
// using: a store of them in a folder, and the search for them in the scrap of
// a finished plan.
//
// # The store
//
// A store is a folder with one small JSON file per remnant, written once and
// never changed, and beside it a mark whose name carries the remnant's state.
// Every change of state is one renaming of that mark:
//
//	RM-7K3DQ9WX.json                    the remnant: outline, fabric, lot, face
//	RM-7K3DQ9WX.free                    may be used
//	RM-7K3DQ9WX.reserved.OWNER          held by a run that is at work
//	RM-7K3DQ9WX.settling.OWNER          its run is about to settle what became of it
//	RM-7K3DQ9WX.used                    cut up; the mark says by which run
//	RM-7K3DQ9WX.discarded               thrown away
//
// Renaming takes the old name away, so of several runs that reach for one
// remnant exactly one succeeds, and a run that is killed leaves each remnant
// either as it was or changed. Files are written whole under a hidden name
// first. Nothing is ever removed from the store. The mark comes before the
// remnant's own file, which can appear only once: that file is what makes the
// remnant known.
//
// OWNER names the host, the process and one session of it. What a process that
// has ended still holds is free again for the next run (Store.Recover), unless
// it had said that it was about to write a finished run: then the run's record,
// if it is there, decides that the remnant is used, and where it is not there
// the remnant stays in doubt until somebody says what became of it. Nothing is
// known about processes of another host: what they hold stays held until it is
// released by hand.
//
// # Scrap
//
// Rectangles finds the largest rectangles along the warp that are free of
// obstacles, Offers the pieces of a whole record worth keeping.
//
// Lengths are millimetres; x runs along the warp.
package remnant
