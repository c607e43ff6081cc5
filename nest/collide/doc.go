// Package collide answers one question in several ways: do two plies overlap,
// and by how much?
//
// A newcomer starts with Shape, one kind of ply prepared once: its outline cut
// into convex parts, and a few inscribed circles. A Body is a Shape turned to
// one angle. Two bodies are compared at a relative translation by
//
//   - Overlap, the judge: exact up to rounding, part against part;
//   - Measure, how bad an overlap is: graded, cheap, from the circles, and zero
//     exactly where the judge sees none;
//   - Table, the same two answers for two bodies whose angles never change,
//     prepared over all relative translations.
//
// Because plies are compared as unions of convex parts, there is no special
// case for aligned edges, shared corners, or a ply inside the cut-out of
// another: interiors meet if and only if the interiors of two parts meet.
//
// All lengths are in the unit of the caller, angles in degrees.
package collide
