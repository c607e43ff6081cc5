// Package relay lays again what is not yet cut of a plan: after a roll was
// swapped, a width was measured narrower or a flaw was found half way.
//
// What is cut keeps its place on its roll. The pieces that are missing become a
// job of their own, each in the shape and under the name that the plan gave it,
// which package plan lays on what is left of the rolls; then both are one record
// again that keeps every rule and whose books balance. Laying a job on remnants
// first is the same: what lies on remnants counts as cut.
package relay
