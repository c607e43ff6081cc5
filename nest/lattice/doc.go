// Package lattice finds repeating patterns of identical plies: one ply, or two
// in different poses, repeated by two translations. A pattern is fitted to the
// width of the strip: rows along it whose pitch makes one more row fit, columns
// across it that are set off against each other, or the densest lattice there
// is in the plane, cut down to the strip.
//
//	nofit.go    where a second ply may not lie, of two plies
//	envelope.go the upper outline of that
//	frame.go    all of it for two plies, turned so that one translation is x
//	cell.go     the plies that are repeated, and how near their copies may come
//	plane.go    the densest lattice in the plane
//	rows.go     rows along the strip and columns across it
//	pattern.go  a pattern, and laying it on a strip
//	search.go   the best patterns of a kind of ply
//
// Two plies half a turn apart form a double lattice; for convex outlines these
// are known to be dense (Kuperberg and Kuperberg 1990, Double-lattice packings
// of convex bodies in the plane; from memory). Known densities that the tests
// compare with are cited there.
//
// Patterns are found on no-fit regions, whose rounding is about 1e-12 of a
// ply's size; the caller has its judge look at the layout.
package lattice
