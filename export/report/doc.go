// Package report writes the pages of a plan: the report of one record and the
// comparison of several. A page is one HTML file that asks nothing of any
// network: pictures, style and script are inside it, and its content security
// policy admits that one style and that one script by their hash and nothing
// else.
//
// Everything the page says about a record stands in the HTML itself. The
// script adds zoom, the link between a ply and its kit row, filters and ticks;
// without it, and on paper, the page is complete.
package report
