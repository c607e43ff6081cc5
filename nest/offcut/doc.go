// Package offcut lays pieces on one given length of fabric: a remnant, the rest
// of a roll, or a new roll. It takes what fits and says what it took; choosing
// among rolls for the least fabric is package plan's work.
//
// Lengths are millimetres; x runs along the warp.
package offcut
