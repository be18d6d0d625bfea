package proof

import (
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Standing says what is missing behind the figures of an evaluation: an input that
// was given another value than the book has is not.
func Standing(g *graph.Graph, values Values) *graph.Standing {
	if !g.Lacks() { // asked for every proof, and nothing is missing behind most
		return g.Standing(nil)
	}
	given := map[graph.ID]decimal.Decimal{}
	for id := range graph.ID(g.Len()) {
		n := g.Node(id)
		if n.Kind != graph.Input {
			continue
		}
		if v, ok := values.Raw(id); ok && !v.Equal(n.Value) {
			given[id] = v
		}
	}
	return g.Standing(given)
}

// Told is the state in which a figure is told. A price, and what it earns, is withheld
// where a cost would be at least something.
func Told(s *graph.Standing, id graph.ID, key string) graph.State {
	state := s.Of(id)
	if state == graph.AtLeast && (strings.Contains(key, "/price/") || strings.HasPrefix(key, "destination/") || strings.HasPrefix(key, "quote/")) {
		return graph.Withheld
	}
	return state
}
