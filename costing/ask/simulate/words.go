package simulate

import (
	"fmt"

	"kerfbook/costing/graph"
)

// Figure names a node of the graph for people.
type Figure struct {
	ID   graph.ID
	Key  string
	Of   string // the thing it is a figure of: "desk base, operation 20"; may be empty
	Name string // "cutting time"
	Unit string
}

// Words names the figure with its thing: "desk base, operation 20: cutting time".
func (f Figure) Words() string {
	if f.Of == "" {
		return f.Name
	}
	return f.Of + ": " + f.Name
}

func figureOf(g *graph.Graph, id graph.ID) Figure {
	n := g.Node(id)
	return Figure{ID: id, Key: n.Key, Of: n.Of, Name: n.Label, Unit: n.Unit.String()}
}

func figuresOf(g *graph.Graph, ids []graph.ID) []Figure {
	out := make([]Figure, len(ids))
	for i, id := range ids {
		out[i] = figureOf(g, id)
	}
	return out
}

// place names an element of a field of the request.
func place(field string, i int) string { return fmt.Sprintf("%s[%d]", field, i) }
