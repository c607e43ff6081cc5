// Package verify is the judge of plans: by Check alone a record is accepted.
// It reads nothing but the record and shares no code with what makes records,
// neither geometry nor fibre direction, so that one mistake cannot be made
// twice. Measuring tools that have no record use Strip, Overlap and Distance.
//
// # How the geometry decides
//
// Coordinates are snapped to a lattice of Grid (1 nm). Differences are then
// exact, and products of differences are exact in 128 bits. Every question is
// reduced to distances computed from such products, which are right to about
// one part in 10¹⁵, and to sides of points that are known to keep a margin of
// at least RoundingAllowance; the margin is thousands of times the error of
// the arithmetic. overlap.go proves that nothing is missed.
//
// # Adding a rule
//
// A rule has a constant in rule.go, one method of checker in a file of its
// own, and a line in checks (check.go).
package verify
