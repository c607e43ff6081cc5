// Package buy writes what purchasing takes away: tables of what to buy, what to
// draw from stock, what nesting units together saves and what each delivery
// width costs, for the terminal, as CSV and as a workbook.
package buy
