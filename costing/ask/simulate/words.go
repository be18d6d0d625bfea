package simulate

import (
	"fmt"

	"kerfbook/costing/graph"
)

// words names a figure with its thing: "desk base, operation 20: cutting time".
func words(g *graph.Graph, id graph.ID) string {
	n := g.Node(id)
	if n.Of == "" {
		return n.Label
	}
	return n.Of + ": " + n.Label
}

// place names an element of a field of the request.
func place(field string, i int) string { return fmt.Sprintf("%s[%d]", field, i) }
