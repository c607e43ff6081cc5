package jobfile

import (
	"fmt"

	"github.com/goccy/go-yaml/token"
)

// Bounds on the tokens of a job file. The parser takes time with the square of
// each of these counts; at the bounds it needs about a second. The longest job
// of plies on one line each stays below all of them.
const (
	// maxKeys bounds the keys of one block mapping; a job has a dozen.
	maxKeys = 1000
	// maxFlowEntries bounds the entries of one pair of brackets.
	maxFlowEntries = 3000
	// maxKeysPerLine bounds the keys written on one line.
	maxKeysPerLine = 1000
	// maxEntries bounds the entries of all block lists together.
	maxEntries = 20_000
)

// A crowd counts tokens against the bounds.
type crowd struct {
	line, keysInLine int
	entries          int
	// flow counts the entries of each open bracket.
	flow []int
	// block counts the keys of each open block mapping, by column.
	block []blockKeys
}

type blockKeys struct{ column, keys int }

// tooCrowded finds the first place where a bound is passed.
func tooCrowded(tokens token.Tokens) (line int, message string, found bool) {
	var c crowd
	for _, t := range tokens {
		if t == nil || t.Position == nil {
			continue
		}
		if message := c.count(t); message != "" {
			return t.Position.Line, message, true
		}
	}
	return 0, "", false
}

// count takes one token in and says which bound it passes, if any.
func (c *crowd) count(t *token.Token) string {
	switch t.Type {
	case token.MappingStartType, token.SequenceStartType:
		c.flow = append(c.flow, 0)
	case token.MappingEndType, token.SequenceEndType:
		if len(c.flow) > 0 {
			c.flow = c.flow[:len(c.flow)-1]
		}
	case token.CollectEntryType:
		if n := len(c.flow); n > 0 {
			if c.flow[n-1]++; c.flow[n-1] > maxFlowEntries {
				return fmt.Sprintf("more than %d entries stand in one pair of brackets", maxFlowEntries)
			}
		}
	case token.SequenceEntryType:
		c.leave(t.Position.Column)
		if c.entries++; c.entries > maxEntries {
			return fmt.Sprintf("more than %d list entries", maxEntries)
		}
	case token.MappingValueType:
		return c.countKey(t)
	}
	return ""
}

func (c *crowd) countKey(t *token.Token) string {
	if t.Position.Line != c.line {
		c.line, c.keysInLine = t.Position.Line, 0
	}
	if c.keysInLine++; c.keysInLine > maxKeysPerLine {
		return fmt.Sprintf("more than %d keys stand on one line", maxKeysPerLine)
	}
	if len(c.flow) > 0 {
		return ""
	}
	column := t.Position.Column
	if t.Prev != nil && t.Prev.Position != nil && t.Prev.Position.Line == t.Position.Line {
		column = t.Prev.Position.Column
	}
	c.leave(column)
	if n := len(c.block); n == 0 || c.block[n-1].column < column {
		c.block = append(c.block, blockKeys{column, 0})
	}
	last := &c.block[len(c.block)-1]
	if last.keys++; last.keys > maxKeys {
		return fmt.Sprintf("more than %d keys stand in one mapping", maxKeys)
	}
	return ""
}

// leave closes the block mappings that stand further in than a column.
func (c *crowd) leave(column int) {
	for n := len(c.block); n > 0 && c.block[n-1].column > column; n = len(c.block) {
		c.block = c.block[:n-1]
	}
}
