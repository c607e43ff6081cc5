// Package rolllog keeps the log of the moves of prepreg rolls: out of the
// freezer and back. Out-life is the time spent outside, summed over all outings
// (CMH-17 Vol. 3, from memory, M).
//
// The log is a CSV file of one line per move, oldest first, that only ever
// grows:
//
//	at,roll,move,note
//	2026-11-25T07:10,R-9,out,
//	2026-11-25T15:40,R-9,back,tube resealed
//
// Times are the shop's own clock, to the minute. Append takes a lock beside the
// file, so that two writers never meet, checks the whole log, and writes it
// anew beside the old one before it takes its place: a reader sees the log
// before or after a move, never half of one.
package rolllog
