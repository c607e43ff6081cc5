// Package recut finds a place for one ply that was spoiled after its layout was
// cut: in a remnant, in the end of a roll, or on fresh fabric, in this order. It
// also keeps the list of a run's recuts, one file each, so that no stretch of a
// roll is given out twice.
//
// Lengths are millimetres.
package recut
