// Package steady has the elementary functions that decide where plies lie. They
// give the same bits on every processor, which those of package math do not: a
// compiler may fuse x*y + z into one rounding on arm64, on amd64 from the third
// level on and elsewhere, and math.Hypot, math.Exp and others have versions of
// their own for some processors.
//
// Here, and in every package that decides a layout, a product that is added to
// something is written float64(x*y): the conversion rounds it, and keeps it from
// being fused (The Go Programming Language Specification, "Floating-point
// operators"). TestNothingIsFused in cmd/plyroom asks the compiler whether one was
// forgotten.
//
// Results are within one and a half units in the last place; signs of zeros,
// infinities and what is not a number are as in package math.
package steady
