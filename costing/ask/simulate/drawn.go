package simulate

import (
	"context"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Evaluate evaluates a graph with what it asks to be drawn, see [graph.Draws], pinned
// beside some pins. The error is one of exact evaluation, or that of the context.
func Evaluate(ctx context.Context, e *exact.Evaluator, hold exact.Pins) (*exact.Values, error) {
	values, err := e.Evaluate(hold)
	if err != nil || len(e.Graph().Drawn()) == 0 {
		return values, err
	}
	pins, err := drawn(ctx, e, hold, values)
	if err != nil {
		return nil, err
	}
	maps.Copy(pins, hold)
	return e.Evaluate(pins)
}

// drawn makes the draws that a graph asks for and gives what to pin: the figures that are
// drawn, with their standard errors. One that has no value, at the likely values or in
// any draw, is left without a pin. values are what the graph comes to before.
func drawn(ctx context.Context, e *exact.Evaluator, hold exact.Pins, values *exact.Values) (exact.Pins, error) {
	g, out := e.Graph(), exact.Pins{}
	left := slices.DeleteFunc(slices.Clone(g.Drawn()), func(id graph.ID) bool { return !values.Defined(drawnOf(g, id)) })
	for len(left) > 0 {
		first := g.Node(left[0]).Decision.Drawn
		r := Request{Draws: first.Count, Seed: first.Seed, Hold: hold}
		var together, others []graph.ID // a shop has one number of draws, and one seed
		for _, id := range left {
			if d := g.Node(id).Decision.Drawn; d.Count != first.Count || d.Seed != first.Seed {
				others = append(others, id)
				continue
			}
			together = append(together, id)
			if of := drawnOf(g, id); !slices.Contains(r.Outputs, of) {
				r.Outputs = append(r.Outputs, of)
			}
		}
		if err := r.drawn(ctx, e, together, out); err != nil {
			return nil, err
		}
		left = others
	}
	return out, nil
}

// drawnOf is the figure that a drawn one is a statistic of; None where it is not there.
func drawnOf(g *graph.Graph, id graph.ID) graph.ID {
	of, there := g.Find(g.Node(id).Decision.Drawn.Of)
	if !there {
		return graph.None
	}
	return of
}

// drawnBlock is how many draws of a price are one replicate: few, so that the default
// number of draws has sixteen, from which the standard error is known to a fifth.
const drawnBlock = 256

// drawn draws the outputs and pins the figures that are statistics of them.
func (r *Request) drawn(ctx context.Context, e *exact.Evaluator, figures []graph.ID, pins exact.Pins) error {
	if err := r.checkDraws(); err != nil {
		return err
	}
	s, err := newSubject(e, r)
	if err != nil {
		return err
	}
	s.block = drawnBlock
	d, err := newDrawing(s, max(minBlocks, (r.Draws+s.block-1)/s.block), func(int, int) {})
	if err != nil {
		return err
	}
	if err := d.rounds(ctx); err != nil {
		return err
	}
	for _, id := range figures {
		asked := s.g.Node(id).Decision.Drawn
		at := slices.Index(r.Outputs, drawnOf(s.g, id))
		sample, above, failure := d.sampleOf(at), decimal.Zero, decimal.Zero
		if d.plan.Varies(at) {
			if sample.values < d.made*s.block {
				continue
			}
			told := sample.statistic(asked.Share)
			above, failure = decimal.NewFromFloat(told.Value).Sub(s.likely[at]), decimal.NewFromFloat(told.Error)
		}
		// The places at which figures are compared: what a machine adds beyond is noise.
		pins[id] = above.Round(graph.SnapPlaces)
		if of, there := s.g.Find(asked.Error); there {
			pins[of] = failure.Round(graph.SnapPlaces)
		}
	}
	return nil
}

// statistic is the value that a share of the draws does not exceed; for 0, the average.
func (s *sample) statistic(share decimal.Decimal) Estimate {
	if share.IsZero() {
		mean, _ := s.moments()
		return mean
	}
	return s.quantile(share.InexactFloat64())
}
