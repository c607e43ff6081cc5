// Package run writes all documents of a record into one folder: the record,
// the report, kit lists, labels, cut files and the summary. Everything here can
// be made again from the record alone.
package run
