// Package study writes the documents of a study: tables for the terminal and
// CSV, and one HTML page with pictures of every case, curves and what each
// rule costs. The page works from a file without network, runs no script, and
// prints.
package study
