// Package paper makes printed documents: pages in millimetres with embedded
// fonts, text that fits its place, tick boxes, pictures of plies, and QR
// codes as vector rectangles.
//
// Equal content gives equal bytes: dates are fixed and objects sorted.
//
// The embedded fonts hold Latin, Greek and Cyrillic letters, arrows and box
// shapes. What they lack is printed as Substitute, and Doc.Missing lists it,
// so that a caller can say so.
//
// x runs to the right and y down from the upper left corner of the page, mm.
// Type sizes are points (1/72 in). All drawing is meant to survive a
// black-and-white printer.
package paper
