package proof

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Rests tells, per node, whether one of the given figures rests on it as it
// stands: of a choice, an index or a table only the arm that was taken counts.
func Rests(g *graph.Graph, values Values, figures ...graph.ID) []bool {
	return g.Reached(figures, func(id graph.ID) []graph.ID { return Taken(g.Operation(id), values) })
}

// Taken are the arguments a node was made of. Where the arm cannot be told, all
// count.
func Taken(n graph.Operation, values Values) []graph.ID {
	value := func(id graph.ID) (decimal.Decimal, bool) {
		d, ok := values.Raw(id)
		return d.Round(graph.SnapPlaces), ok
	}
	switch n.Op {
	case graph.Choose:
		a, okA := value(n.Args[0])
		b, okB := value(n.Args[1])
		if !okA || !okB {
			return n.Args
		}
		if n.Compare.Holds(a.Cmp(b)) {
			return n.Args[:3]
		}
		return []graph.ID{n.Args[0], n.Args[1], n.Args[3]}
	case graph.At:
		i, ok := value(n.Args[0])
		if !ok || !i.IsInteger() || i.IntPart() < 1 || int(i.IntPart()) >= len(n.Args) {
			return n.Args
		}
		return []graph.ID{n.Args[0], n.Args[i.IntPart()]}
	default:
		return n.Args
	}
}

// Unverified tells, per node, whether it rests on a number without a source.
func Unverified(g *graph.Graph, values Values) []bool {
	out := make([]bool, g.Len())
	for id := range graph.ID(g.Len()) {
		s := g.Source(id)
		out[id] = s != nil && s.Unverified
		for _, a := range Taken(g.Operation(id), values) {
			out[id] = out[id] || out[a]
		}
	}
	return out
}

// Ages tells, per node, the days since the oldest price it rests on ran out; nil
// where none has.
func Ages(g *graph.Graph, values Values) []int {
	if !g.Aged() { // asked for every proof, and most books are up to date
		return nil
	}
	out := make([]int, g.Len())
	for id := range graph.ID(g.Len()) {
		if s := g.Source(id); s != nil {
			out[id] = s.AgeDays
		}
		for _, a := range Taken(g.Operation(id), values) {
			out[id] = max(out[id], out[a])
		}
	}
	return out
}
