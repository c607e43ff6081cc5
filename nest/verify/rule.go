package verify

import "fmt"

// A Rule is one of the numbered rules of Check. Numbers are stable: documents
// and tests may quote them.
type Rule int

// The rules, as Check documents them.
const (
	// RuleRecord: the record is complete and consistent in itself.
	RuleRecord Rule = 1
	// RuleDemand: every demanded piece is placed exactly once, as demanded.
	RuleDemand Rule = 2
	// RuleOutline: the placed outline is the shape in the stated position.
	RuleOutline Rule = 3
	// RuleOverlap: no two plies of one layer overlap.
	RuleOverlap Rule = 4
	// RuleGap: plies of one layer keep the gap.
	RuleGap Rule = 5
	// RuleInside: plies lie on usable fabric, layouts on table and roll.
	RuleInside Rule = 6
	// RuleDirection: the fibre lies as asked, right side up.
	RuleDirection Rule = 7
	// RuleSpread: what is cut in one pass may be, and is cut through.
	RuleSpread Rule = 8
	// RuleBound: the bound on a layout's length is no longer than the layout.
	RuleBound Rule = 9
	// RulePanel: the panels of a divided ply are complete and meet.
	RulePanel Rule = 10
	// RuleLot: a unit's plies of one fabric come from one lot, where asked.
	RuleLot Rule = 11
	// RuleTogether: kits that are kept together have their stretch to themselves.
	RuleTogether Rule = 12
	// RuleLife: no roll is used that has expired or was out of the freezer for
	// too long, unless that is allowed.
	RuleLife Rule = 13
)

var ruleNames = map[Rule]string{
	RuleRecord:    "record",
	RuleDemand:    "demand",
	RuleOutline:   "outline",
	RuleOverlap:   "overlap",
	RuleGap:       "gap",
	RuleInside:    "inside",
	RuleDirection: "direction",
	RuleSpread:    "spread",
	RuleBound:     "bound",
	RulePanel:     "panel",
	RuleLot:       "lot",
	RuleTogether:  "together",
	RuleLife:      "life",
}

// String names the rule in one word.
func (r Rule) String() string {
	if s, ok := ruleNames[r]; ok {
		return s
	}
	return fmt.Sprintf("rule %d", int(r))
}
