// Package bound proves lengths of strip that no layout can beat.
//
// Length is the one to call: it takes the best of three bounds, each proved
// where it is computed.
//
//	longest.go  one piece alone
//	area.go     all pieces by area, with what cut-outs cannot hold
//	chord.go    what can stand across the strip at one place, by dual feasible
//	            functions of the pieces' chords
//
// A bound is never above the optimum; rounding is taken off it.
package bound
