// Package dxf writes a cut path as an ASCII drawing in the exchange format of
// release 12, which every reader takes: one closed POLYLINE per boundary, in
// cutting order, on one layer per purpose.
//
//	CUT_OUTLINE  ply outlines
//	CUT_HOLE     cut-outs
//	CUT_SLIT     slits
//	CUT_CHECK    the square that is cut first and measured
//	INK_NAME     names to be drawn on the ply, where the job allows ink
//	INK_FIBRE    fibre arrows, likewise
//	INK_MARK     marks of the drawing, likewise
//	INFO_NAME    names to be read on the screen only: never cut, never drawn
//	INFO_FIBRE   fibre arrows, likewise
//	INFO_MARK    marks, likewise
//	INFO_FABRIC  the edge of the fabric and of its usable part
//
// What begins with CUT is for the knife, with INK for a pen, with INFO for
// people. Units, origin and axes are those of the machine's profile;
// coordinates have six decimals.
package dxf
