// Package study lays one job many times over: with other roll widths, gaps,
// tolerances, groupings of units, and with one rule relaxed at a time, so that
// an engineer sees what each choice and each rule costs.
//
// A Spec says what is varied. NewPlan turns it into Cases, each a setting of
// every axis and a seed, and into Nests, the pieces of work: one group of
// fabrics of one case. Nests that would lay the same plies under the same
// rules are one Nest, whatever cases they belong to. A Nest is named by a hash
// of everything that decides its outcome, so its result may be computed
// anywhere, twice, or in any order.
//
// A Store is a folder of results, one file per Nest. Run fills it, whole or by
// shards; Merge reads whatever is there. Merge depends on the set of results
// alone.
//
// Every nest takes as much fabric as it needs: stock is a matter of buying.
package study
