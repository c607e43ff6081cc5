// Package plan lays a whole job: fabric by fabric it strings the lengths of
// the rolls (or of the table, again and again) into one strip, has the packer
// fill it, and cuts the result into layouts. Every record it returns has
// passed the verifier and its books balance.
package plan
