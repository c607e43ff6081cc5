// Package nest holds the record of a finished plan: which plies were asked
// for, under which rules, and where each lies on which length of fabric.
//
// The record is complete. Every document, cut file and comparison can be made
// from it alone, and package verify checks every rule from it alone, without
// the packer. Sub-packages make records (demand, pack, plan) or read them
// (verify, account, kit, compare); this package imports none of them.
//
// # Conventions
//
// Lengths are millimetres. A layout's x axis runs along the roll, which is the
// warp; y runs across it from the edge of the lower selvedge. A ply placed
// with rotation r (degrees, counter-clockwise) has its warp laid at -r against
// its datum; turned over (outline mirrored y to -y, then rotated by r) it has
// its warp laid at +r. Rings are open, exteriors counter-clockwise and holes
// clockwise in their own frame; the placed outline of a mirrored ply is listed
// counter-clockwise again.
package nest
