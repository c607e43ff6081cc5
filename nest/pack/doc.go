// Package pack lays plies on a strip so that the strip is short. It knows
// geometry only: no fabric, rolls or directions of weave.
//
// A newcomer starts with Problem, which says what is asked, and Solve, which
// answers. Inside, the way goes
//
//	validate.go   what a problem must satisfy, and the typed errors
//	prepare.go    kinds and their bodies, built once (blocks.go: obstacles)
//	tables.go     one table for all views of a pair of bodies
//	raster.go     a first layout at once, on a grid of bits (construct.go)
//	state.go      a layout that may overlap, its neighbours and its cost
//	search.go     the best new place for one ply
//	slide.go      down the slope of a ply's cost (near.go: what it may meet)
//	separate.go   removing all overlap at a fixed length
//	stream.go     shorter and shorter strips: one line of search
//	heats.go      several first climbs, the better half of which goes on
//	kick.go       which way out of a dead end, learnt underway (disturb.go)
//	loosen.go     another climb, from the best layout on a longer strip
//	repeat.go     a small arrangement of many copies, repeated along the strip
//	pattern.go    patterns of identical plies as a start (choices.go)
//	still.go      plies that turn a little, first held still
//	window.go     long strips, some plies at a time, zone by zone
//	finish.go     exact compaction after each success, by package polish
//	fit.go        layouts within a greatest length
//	solve.go      several streams, merged in rounds
//
// The search may be approximate; a layout is accepted only if package
// collide's judge finds it free of overlap.
package pack
