// Package table writes one table two ways: as CSV for a spreadsheet or a
// program, and as aligned text for a terminal.
//
// Fill a Table with Columns and rows of Cells. A cell is text (Text), a
// figure (Number, Int) or empty (Blank): only figures are written as figures,
// so that what comes from a file cannot become a formula in a spreadsheet.
//
// CSV is UTF-8 without a byte order mark, comma-separated, lines ended by a
// single LF, a decimal point in every locale, the first line the column keys
// (RFC 4180 otherwise).
package table
