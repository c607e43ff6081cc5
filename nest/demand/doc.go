// Package demand turns the parts and units of a job into single pieces to be
// cut, and groups the pieces that are interchangeable on the table.
package demand
