// Package drawing reads ply outlines from DXF and SVG drawings.
//
// A drawing is read in three steps. The reader of its format (dxf_*.go,
// svg_*.go) turns entities into pieces made of true curves, in millimetres.
// The pieces are then joined end to end into loops (join.go), the loops are
// nested into outlines and cut-outs (nestloops.go), and what is left becomes
// marks, names and the datum axis (marks.go, names.go, datum.go). Last, the
// curves are flattened towards the outside (loops.go), so that a polygon
// always contains the shape that was drawn; area and perimeter are those of
// the curves themselves.
//
// # What a line means
//
// A closed loop is a cut line. It is an outline where it lies outside every
// other loop or inside a cut-out, and a cut-out where it lies inside an
// outline. An open line inside an outline is a mark. Words in the name of its
// layer, class, group, id or title change that:
//
//	datum                            the datum axis: the outline is turned so
//	                                 that the line points along +X, and moved
//	                                 so that it starts at the origin
//	slit, dart, cut                  an open line here is cut by the knife
//	mark, notch, drape, note, pen,   a line here is a mark, closed or not
//	label, text, annotation, ink
//	frame, border, title,            passed over, with a doubt
//	dimension, viewport, defpoints
//
// A word counts at the beginning of a word of the name, in any case: CUT,
// inner-cuts and PlyCut, but not executed. For slit, dart and cut in a layer
// or class it counts anywhere.
//
// # Names
//
// An outline is called by the first of these that it has, in an order that
// Options.Names may change: the largest text inside it, its title or
// aria-label, the block or symbol that holds it, its id where no drawing
// program made it up, its group, its layer. A name that several outlines have
// is numbered, and that is doubted.
//
// # Units
//
// A DXF drawing states its unit in $INSUNITS, an SVG drawing by a width or
// height in mm, cm, in, pt or pc. Where a drawing states none and the options
// state none either, it is refused: a guess would be wrong by a factor.
//
// # Style sheets
//
// An SVG drawing's style rules are followed where they hide, show, move or
// shape: selectors of names, classes, ids and attributes, the combinators
// " ", >, + and ~, :first-child, :last-child, :only-child, :root and :not(),
// and rules for the screen. A rule that is not understood is doubted.
//
// # What is not read
//
// Hatches, solids, meshes, dimensions, pictures, and what an SVG drawing does
// by script or animation: all of it is listed in Drawing.PassedOver. What a
// clip or mask hides is read all the same, and doubted. Nothing outside the
// file is ever fetched.
//
// # Problems
//
// Nothing is put right silently: repairs, doubts and faults are listed with
// the entity's handle or the element's id and the place in the drawing's own
// units. Text from a drawing is data: it is never interpreted.
package drawing
