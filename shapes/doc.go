// Package shapes holds the nouns of a cutting job: fabrics and rolls, parts
// and plies, outlines, and the rules under which they are cut and laminated.
//
// Nothing here reads files, lays plies or writes documents. Sub-packages do
// the reading (drawing, jobfile, strip) and the geometry (geom); package nest
// lays the plies; package export writes what the shop needs. This package
// imports none of them.
//
// # Conventions
//
// Lengths are millimetres, areas square millimetres, areal masses grams per
// square metre, masses kilograms, times minutes, angles degrees
// counter-clockwise in (-90, 90] unless a field says otherwise.
//
// Rings are open: the first vertex is not repeated at the end. Exteriors run
// counter-clockwise, cut-outs (holes) clockwise.
//
// An outline is seen looking down on the tool; its +X axis is the part's
// datum axis, 0° of every direction (orientation code after ASTM D6507).
package shapes
