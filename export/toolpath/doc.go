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
//   - a small ply comes before a large one that touches its surroundings;
//   - the work goes along the roll: nothing is begun more than Machine.Along
//     behind where the rear-most uncut ply begins, so that fabric already cut
//     stays flat.
//
// Among the orders these rules leave, travel with the knife up is made short:
// a nearest-neighbour tour that chooses start points as it goes, then moves of
// up to three cuts (Or-opt) and reversals (2-opt) that keep the rules, then the
// best start points for the order found (dynamic programming, exact), until
// nothing improves or a fixed number of trials is spent. No clock is read: the
// same record gives the same path.
//
// # Conventions
//
// Points are in the layout's coordinates, mm; Machine says how a writer turns
// them into the machine's. Closed cuts do not repeat their first vertex.
package toolpath
