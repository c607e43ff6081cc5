// Package polish makes a strip layout exact: it takes pieces that overlap a
// little apart, and pushes pieces together until they touch and the layout can
// get no shorter by moving them past their neighbours' edges. A search finds
// the arrangement; this package gives it its precision.
//
// Start with NewShape for each distinct outline, then Compact, or Separate for
// a layout that must fit a given length.
//
// # Method
//
// A layout is improved by linear programs. Each piece is cut into convex parts.
// Two convex parts are apart exactly when some edge of one, its line extended,
// has the other part on its far side. For each two parts near each other one
// such edge is chosen, the one that keeps them furthest apart at present; then
// "stay on the far side" is linear in the positions, with no approximation, and
// the best positions within a limited reach are the solution of a linear
// program. There the edges are chosen anew, until nothing is gained. This is
// compaction and separation as in Li and Milenkovic, "Compaction and separation
// algorithms for non-convex polygons and their applications" (1995), as used to
// finish layouts by Bennell and Dowsland, "Hybridising tabu search with
// optimisation techniques for irregular stock cutting" (2001), and Gomes and
// Oliveira, "Solving irregular strip packing problems by hybridising simulated
// annealing and linear programming" (2006). (All from memory.)
//
// Convex parts rather than no-fit polygons, because every relation then comes
// from two original edges and vertices: it is exact for exact fits, where
// no-fit polygons of non-convex pieces lose slots of no width. The relations of
// two pieces cut a convex region out of their relative positions; only those
// that bound it go into the program, so that the number of parts hardly
// matters.
//
// Pieces that overlap are given relations at the nearest relative position at
// which they do not, and a slack whose cost outweighs any length.
//
// Pieces that may turn a little are turned by programs that take the turn as
// linear within a small swing; what that leaves over is mended by steps that
// only move, and kept only where the layout is shorter in the end.
//
// # Exactness
//
// The programs are solved by a simplex method, so that positions are the
// solution of the equations of the contacts that hold them, not an
// approximation from within: edges in contact coincide to the last few bits.
// The residue is measured on the final positions with all neighbours, and
// reported in Result.Overlap.
//
// Positions depend on nothing but the input: no random numbers, no clock (but
// for the context), no order of maps.
package polish
