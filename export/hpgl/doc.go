// Package hpgl writes a cut path as plotter language: pen up is knife up, pen
// down is knife down, 40 plotter units to the millimetre. A point moves by at
// most 0.0125 mm along each axis when it is rounded to that grid, 0.0177 mm in
// all.
//
// Write uses only the instructions that every plotter knows (IN SP PU PD PA,
// and SI DI LO LB for names, where the job allows ink). The language has no
// comments there, and some plotters stop at or draw what they do not know, so the
// head of the file is not in it; package run lists beside the files what each
// is. Write2 adds what the
// second edition of the language has: comments (CO), and it may be wrapped in
// the escape sequences of a printer by the profile's header and footer lines.
//
// A lift at a corner is PU and PD without a move between. Feeds are not
// written: machines differ in what they take as speed; the profile's header
// may set them.
package hpgl
