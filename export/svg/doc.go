// Package svg writes a cut path as a drawing in millimetres that looks as the
// fabric lies on the table: the roll runs from left to right, the lower
// selvedge is at the bottom.
//
// The group "cut" holds every cut in cutting order, each with its purpose as
// class: outline, cut-out, slit, check. The groups "ink-…" hold what a pen may
// draw where the job allows ink; otherwise the same stands in "info-…", which
// is never cut and never drawn on the fabric. The group "info-fabric" shows the
// edges of the fabric. Origin and axes of a machine are not followed here.
package svg
