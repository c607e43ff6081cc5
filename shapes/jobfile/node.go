package jobfile

import "fmt"

// A nodeKind tells the three shapes of a YAML value, and its absence.
type nodeKind int

const (
	scalarNode nodeKind = iota
	listNode
	mapNode
	nullNode
)

// A node is one value of a job file or ply table with its place.
type node struct {
	kind nodeKind
	// text is a scalar as written, without quotes.
	text  string
	items []*node
	pairs []pair
	// file is the file the node stands in, and line and column its place.
	file         string
	line, column int
	// change says that the line of its key bears the remark CHANGE.
	change bool
	// size counts the nodes in and under this one, aliases followed.
	size int
}

// A pair is one key of a mapping with its value.
type pair struct {
	key   *node
	value *node
	// merged says that the key came in by << and is not written out here.
	merged bool
}

// describe names the kind of a node for a message.
func (n *node) describe() string {
	switch n.kind {
	case listNode:
		return "a list"
	case mapNode:
		return "a mapping"
	case nullNode:
		return "nothing"
	default:
		return fmt.Sprintf("the text %s", quote(n.text))
	}
}
