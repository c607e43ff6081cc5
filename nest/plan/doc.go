// Package plan lays a whole job. It chooses which lot serves which kit, in
// which order the rolls of a fabric are taken, and what is cut together in
// spreads; each by short trials that are compared. Then, stack by stack, it
// strings the lengths of the rolls (or of the table, again and again) into one
// strip, has the packer fill it, and cuts the result into layouts. Every
// record it returns has passed the verifier and its books balance.
package plan
