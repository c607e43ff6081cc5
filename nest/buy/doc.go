// Package buy turns a job into what purchasing decides from: how much of each
// fabric a number of units takes, what stock and open orders cover, what to
// order in the units the fabric is sold by, and what that costs.
//
// Every need comes from real nests on as much fabric as they take. Where there
// are more units than are worth nesting together, nests of smaller batches are
// laid and the need is estimated from them, with an error (Needs). Groups
// compares one nest repeated with several units nested together, and Widths
// the widths a fabric is delivered in.
package buy
