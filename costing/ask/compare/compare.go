package compare

import (
	"context"
	"fmt"
	"maps"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// limits bound the work.
type limits struct {
	few       int     // the most changed inputs that are shared out over all subsets
	tolerance float64 // when the shares along the way count as settled
	most      int     // evaluations along the way
}

var everyday = limits{few: 8, tolerance: 1e-3, most: 400_000}

// Between says why the headline after differs from the one before. The error is a
// [*FigureError] or an [*EvaluateError], or that of the context.
func Between(ctx context.Context, before, after Side) (*Result, error) {
	return between(ctx, before, after, everyday)
}

func between(ctx context.Context, before, after Side, l limits) (*Result, error) {
	c, err := newComparison(before, after)
	if err != nil {
		return nil, err
	}
	b, a := c.before, c.after
	r := &Result{Before: b.figure(b.top), After: a.figure(a.top), Difference: difference(b.value, a.value),
		Alike: b.classes[b.top] == a.classes[a.top]}
	if r.Lines, err = c.lines(r.Difference); err != nil {
		return nil, err
	}
	if err := c.share(ctx, r, l); err != nil {
		return nil, err
	}
	r.Same = r.Difference.IsZero() && len(r.Shares) == 0
	return r, nil
}

// comparison is two sides, opened.
type comparison struct {
	before, after *side
	scale         decimal.Decimal // the size of all lines of both sides together, and at least one unit
}

func newComparison(before, after Side) (*comparison, error) {
	b, err := before.prepare("before")
	if err != nil {
		return nil, err
	}
	a, err := after.prepare("after")
	if err != nil {
		return nil, err
	}
	if from, to := b.Graph.Node(b.top).Unit, a.Graph.Node(a.top).Unit; from != to {
		return nil, &FigureError{"after", fmt.Sprintf("a figure in %q and one in %q have no difference: compare figures in one currency and unit, "+
			"such as costs in the currency of the book", from, to)}
	}
	b.names, a.names = namings(before.Headline, after.Headline)
	if before.Graph == after.Graph && maps.EqualFunc(before.Pins, after.Pins, decimal.Decimal.Equal) {
		freeze(b, a)
	}
	known := map[form]int{}
	for _, s := range []*side{b, a} {
		if err := s.open(); err != nil {
			return nil, err
		}
		s.classify(known)
	}
	return &comparison{before: b, after: a, scale: scaleOf(b, a)}, nil
}

// freeze holds the computed figures of one evaluation that both headlines rest on:
// such a figure is no difference, whatever it rests on. (A part pooled over a
// mix rests on the quantities of both variants.)
func freeze(b, a *side) {
	for id := range graph.ID(b.Graph.Len()) {
		n := b.Graph.Node(id)
		if there, both := a.Graph.Find(n.Key); both && len(n.Args) > 0 && b.names.of(n.Key) == n.Key {
			b.held[id], a.held[there] = true, true
		}
	}
}
