// Package toolpath plans the knife's work on one layout: in which order the
// plies are cut, where each cut begins, and every move of the knife. The plan
// knows no file format; the writers (packages dxf, svg, hpgl, gcode) only spell
// it.
//
// # Order
//
// Plan keeps these rules:
//
//   - plies that lie inside a cut-out come before that cut-out;
//   - cut-outs and slits come before the outline of their ply;
//   - a small ply comes before a large one close to it;
//   - the work goes along the roll: a cut is not made while one that begins
//     Machine.Along or more behind it waits, so that fabric already cut stays
//     flat.
//
// Among the orders these rules leave, travel with the knife up is made short:
// a nearest-neighbour tour that chooses start points as it goes; then moves of
// up to three cuts (Or-opt) and reversals (2-opt) that keep the rules, and the
// best start points for the order found (dynamic programming, exact); then
// taking out a few cuts and putting each back at its best legal place, many
// times (ruin and recreate). The number of trials is fixed and no clock is
// read: the same record gives the same path. Stats and Path.TravelBound set the
// travel beside plain nearest neighbour and beside a bound.
//
// # Conventions
//
// Points are in the layout's coordinates, mm; Machine says how a writer turns
// them into the machine's. Closed cuts do not repeat their first vertex.
package toolpath
