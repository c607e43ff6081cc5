// Package kitlist writes the kit list of one part and unit: as CSV for
// programs and spreadsheets (WriteCSV) and as a printed document for the
// cutting room and the mould (WritePDF).
//
// Both list the pieces in lay-up order. What has no fibre shows no masses;
// what is not placed shows as SHORT. Quantities of resin and times are
// estimates and say so.
package kitlist
