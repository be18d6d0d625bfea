package study

import (
	"context"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/graph"
)

// SpreadChoices are what can be asked about how sure a batch is: the figures drawn
// where none are named, and the ranges they rest on.
type SpreadChoices struct {
	Figures, Ranges []answer.Figure
}

// SpreadChoices lists what can be asked about a batch of the stored book. Nothing
// is drawn.
func ChoicesOf(ctx context.Context, o change.Origin, b change.Batch) (SpreadChoices, error) {
	q, err := NewSpreading(ctx, o, SpreadRequest{Batch: b})
	if err != nil {
		return SpreadChoices{}, err
	}
	var out SpreadChoices
	for _, id := range q.shown {
		out.Figures = append(out.Figures, q.called(id))
	}
	g := q.Estimate.Graph
	reached := behind(g, q.drawn)
	for id := range graph.ID(g.Len()) {
		n := g.Node(id)
		if _, held := q.draw.Hold[id]; reached[id] && !held && n.Op == graph.Range && n.Low.LessThan(n.High) {
			out.Ranges = append(out.Ranges, q.reader.Figure(id))
		}
	}
	return out, nil
}

// behind marks all that figures may rest on, whatever the values.
func behind(g *graph.Graph, of []graph.ID) []bool {
	reached := make([]bool, g.Len())
	for _, id := range of {
		reached[id] = true
	}
	for id := graph.ID(g.Len()) - 1; id >= 0; id-- {
		if !reached[id] {
			continue
		}
		for _, a := range g.Node(id).Args {
			reached[a] = true
		}
	}
	return reached
}
