// Package jobfile reads and validates the job file and its ply tables.
//
// Start with Read, which takes the path of a YAML job and returns the job with
// every figure in the units of package shapes, every default filled in, and
// every ply pointing at its fabric and outline. Read reports all mistakes of a
// job in one run, each with file, line and column and the nearest valid word.
//
// What a job may say stands in one table, keys.go. It drives the reader, the
// JSON Schema that editors complete job files with (Schema), and the defaults.
//
// New goes the other way: it starts a job from drawings.
//
// # Figures
//
// A length, mass, time or price may carry its unit: 1270, 1270 mm, 50 in,
// 1.5 oz/ft2, 1 h, 6 kg/h. Without one it is in millimetres (or what `units`
// says for the file), g/m², kg, minutes, kg/h, g/cm³ or degrees.
package jobfile
