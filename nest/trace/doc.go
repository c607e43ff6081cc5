// Package trace follows fabric from roll and lot through layout and ply to kit
// and unit, and back again: what a wet lay-up record must tell of each section
// (Rules for the Classification of FRP Ships (2014), part 13, 301.2).
//
// Start with Of, which lists every placed piece of a record once. Select keeps
// the pieces a question is about. The record is the only input; a Trail is
// written as JSON (trace.schema.json) and makes a table of the same content.
//
// Lengths are millimetres.
package trace
