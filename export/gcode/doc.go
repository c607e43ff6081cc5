// Package gcode writes a cut path as an RS-274 program: G21 or G20, G90, G0
// with the knife up, G1 with it down, M2 at the end, and comments in
// parentheses.
//
// The knife is raised and lowered by the profile's words, or by moves of Z.
// Feeds are written in units per minute. Where the profile names a turn axis,
// every move carries the knife's heading in degrees, counted on past full
// turns so that the knife never spins back.
package gcode
