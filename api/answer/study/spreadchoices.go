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

// ChoicesOf lists what can be asked about a batch of the stored book. Nothing
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
	behind, _, _ := g.Extract(q.drawn...)
	for i := range graph.ID(behind.Len()) {
		n := behind.Node(i)
		id, _ := g.Find(n.Key)
		if _, held := q.draw.Hold[id]; !held && n.Op == graph.Range && n.Low.LessThan(n.High) {
			out.Ranges = append(out.Ranges, q.reader.Figure(id))
		}
	}
	return out, nil
}
