// Package simplex solves the linear programs of layout compaction: few
// variables, all between finite bounds, and many sparse inequality rows, most
// of which do not bind.
//
// The method is the dual simplex method, which here is easy to start: with all
// variables bounded, the corner of the box that the costs prefer is dual
// feasible. A basis holds one binding constraint, row or bound, for each
// variable, so that its size does not grow with the number of rows. It is kept
// as a sparse LU factorisation with Markowitz pivoting and product-form
// updates. Rows enter by devex pricing; the ratio test passes over bounds that
// can be flipped. Redundant and repeated rows do no harm: a row enters only
// where it is violated, and a violated row cannot depend on the binding ones
// unless the program is infeasible.
//
// (From memory: Koberstein, "The dual simplex method, techniques for a fast and
// stable implementation", 2005; Suhl and Suhl, "Computing sparse LU
// factorizations for large-scale linear programming bases", 1990; Forrest and
// Goldfarb, "Steepest-edge simplex algorithms for linear programming", 1992.)
//
// Products are rounded before they are added, explicitly, so that machines with
// and without fused multiplication follow the same path.
package simplex
