package answer

import (
	"strings"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Comparison is a figure before and after a change, with what it changed by.
type Comparison struct {
	Before, After, Difference Figure
}

// Compare gives what figures changed by: after − before, evaluated as a graph of
// its own, with keys that begin with difference/. Pairs must be in the same order;
// a pair of which one is undefined has no difference.
func Compare(before, after []Figure) ([]Comparison, error) {
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root()
	out := make([]Comparison, min(len(before), len(after)))
	nodes := make([]graph.ID, len(out))
	seen := map[string]bool{}
	for i := range out {
		out[i] = Comparison{Before: before[i], After: after[i]}
		nodes[i] = graph.None
		was, ok := before[i].Number()
		is, alsoOK := after[i].Number()
		key := after[i].Key
		if seen[key] {
			key = before[i].Key // of a figure that stands in two lines, once for another
		}
		if !ok || !alsoOK || seen[key] {
			continue
		}
		seen[key] = true
		// What is compared has one unit; the graph need not know which.
		nodes[i] = root.In("difference").Subtract(key, "change of "+after[i].Label,
			root.In("after").Input(key, after[i].Label, graph.Plain, is),
			root.In("before").Input(key, before[i].Label, graph.Plain, was))
	}
	g, err := b.Build()
	if err != nil {
		return nil, Unexpected(err)
	}
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		return nil, Unexpected(err)
	}
	for i, id := range nodes {
		if id != graph.None {
			out[i].Difference = ReadFigure(g, values, id)
			out[i].Difference.Unit = after[i].Unit
		}
	}
	return out, nil
}

// MinutesKey is the key of the minutes of a batch.
const MinutesKey = "minutes"

// Minutes gives what all operations of a batch take of their work centres, over its
// pieces, evaluated as a graph of its own; no figure where one of them has no value.
func (e *Evaluation) Minutes() (Figure, error) {
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root()
	g := e.Estimate.Graph
	var times, pieces []graph.ID
	input := func(id graph.ID) (graph.ID, bool) {
		v, err := e.Values.Get(id)
		return root.In("of").Input(g.Key(id), g.Node(id).Label, graph.Plain, v), err == nil
	}
	for id := range graph.ID(g.Len()) {
		if g.Kind(id) != graph.Computed || !strings.HasSuffix(g.Key(id), "/occupied") {
			continue
		}
		time, ok := input(id)
		if !ok {
			return Figure{}, nil
		}
		times = append(times, time)
	}
	for _, v := range e.Estimate.Variants {
		n, ok := input(v.Quantity)
		if !ok {
			return Figure{}, nil
		}
		pieces = append(pieces, n)
	}
	if len(times) == 0 {
		return Figure{}, nil
	}
	each := root.Divide(MinutesKey, "minutes of all operations", root.Add("minutes-batch", "minutes of the batch", times...), root.Add("pieces", "pieces of the batch", pieces...))
	made, err := b.Build()
	if err != nil {
		return Figure{}, Unexpected(err)
	}
	values, err := exact.Evaluate(made, nil)
	if err != nil {
		return Figure{}, Unexpected(err)
	}
	out := ReadFigure(made, values, each)
	out.Unit = graph.Minute.Per(graph.Piece).String()
	return out, nil
}
