// Package kit turns a record into kits: one per part and unit, every ply in
// lay-up order with what the laminator needs to know of it.
//
// Start with Build. A Kit holds its lines in lay-up order, the bags they are
// packed in, totals, and, where the job gives the laminator's figures, a Plan
// of resin, mixes and wet sets.
//
// The record is the only input. Lengths are millimetres, areas square
// millimetres, masses kilograms, thickness millimetres, times minutes, angles
// degrees counter-clockwise looking down on the tool, 0° along the datum.
//
// # What the quantities stand for
//
// Masses are those of the plies as cut, trim and laps included, because that
// is what is carried to the mould and wetted out. What has no fibre (film,
// peel ply, core) has no fibre mass, resin or thickness: Line.Laminate is nil,
// and documents leave the place blank.
//
// All quantities and times are estimates from the job's own figures. The
// resin supplier's data sheet and the shop's own trials override them.
package kit
