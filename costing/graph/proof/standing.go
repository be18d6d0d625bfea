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

// Told is how a figure is told: by its value, by a bound, or, where only Without says
// something, not at all.
type Told struct {
	Value, AtLeast string
	Without        []string
}

// Tell says how a figure is told. A price, and what it earns, is withheld where a cost
// would be at least something.
func Tell(g *graph.Graph, values Values, s *graph.Standing, id graph.ID) (t Told) {
	for _, m := range s.Missing(id) {
		t.Without = append(t.Without, m.Missing)
	}
	n, state := g.Node(id), s.Of(id)
	price := strings.Contains(n.Key, "/price/") || strings.HasPrefix(n.Key, "destination/") || strings.HasPrefix(n.Key, "quote/")
	switch v, ok := values.Raw(id); {
	case !ok || n.Missing != "" || state == graph.Withheld || state == graph.AtLeast && price:
	case state == graph.AtLeast:
		t.AtLeast = v.String()
	default:
		t.Value = v.String()
	}
	return t
}
