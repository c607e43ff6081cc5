// Package labels prints the tags of a job: one per ply, to lay on it, and one
// sheet per kit bag or tube before the tags of that bag.
//
// Tags are not stuck to dry fabric, and none may stay in the laminate: each
// says REMOVE BEFORE WET-OUT, and each bag says how many tags it holds, so
// that they can be counted out and back.
//
// Write prints on sheets with a grid of labels, or on a continuous roll where
// every page is one label (Roll).
//
// # The QR code
//
// Every ply tag carries a QR code (ISO/IEC 18004, UTF-8 bytes) with
// the text that Code returns:
//
//	PLYROOM1|job|revision|part|unit|order|ply|copy|fabric|lot|layout
//
// The first field names this format and changes with it. Fields are separated
// by a vertical line. Inside a field, a vertical line is written %7C, a
// percent sign %25, and every control character (line break, tab, …) as % and
// the two hexadecimal digits of each of its bytes; bytes that are not UTF-8
// are replaced by U+FFFD. A field longer than 48 bytes (escapes counted) is
// cut at a character's end to at most 45 bytes, and "…" added. Numbers are
// decimal without leading zeros. Lot and layout are empty where there is none.
//
// A bag sheet carries PLYROOM1BAG|job|revision|part|unit|bag|pieces, with the
// bag's number and the same escapes.
package labels
