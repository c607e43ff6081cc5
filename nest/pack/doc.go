// Package pack lays plies on a strip so that the strip is short. It knows
// geometry only: no fabric, rolls or directions of weave.
//
// A newcomer starts with Problem, which says what is asked, and Solve, which
// answers. Inside, the way goes
//
//	validate.go   what a problem must satisfy, and the typed errors
//	prepare.go    kinds, their bodies and pair tables, built once
//	raster.go     a first layout at once, on a grid of bits (construct.go)
//	state.go      a layout that may overlap, its neighbours and its cost
//	search.go     the best new place for one ply
//	separate.go   removing all overlap at a fixed length
//	explore.go    shorter and shorter strips, with restarts
//	stream.go     one line of search; solve.go runs several and merges them
//
// The search may be approximate; a layout is accepted only if package
// collide's judge finds it free of overlap.
package pack
