// Package export holds what every document and cut file has in common: names
// that are safe to write, and an output folder that appears whole or not at
// all. The writers are its sub-packages, one per format; this package imports
// none of them.
//
// Whatever comes from a job file or a drawing is data. A writer passes it
// through SafeFileName before it becomes a path, and through the escape of its
// own format (DXFText, SVGText, HPGLText, CommentText) before it becomes text.
package export
