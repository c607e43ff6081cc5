// Package picture draws a layout to scale as SVG: the fabric with its
// selvedges, ends and flaws, and on it the plies with name, position, fibre
// direction and part.
//
// The picture must do its work on a black-and-white printer. Parts differ by
// texture and only then by colour; textures are dots and rings, never lines,
// because a line on a ply reads as a fibre. A broken outline is a ply cut face
// down, a heavy outline one of the opposite hand.
//
// Coordinates in the SVG are millimetres of the layout with y pointing down,
// so a picture can be measured.
package picture
