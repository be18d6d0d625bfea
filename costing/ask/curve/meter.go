package curve

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// meter takes one batch cost from another, by a graph of three figures.
type meter struct {
	batch      graph.ID // in the graph of the sweep; None without one
	e          *exact.Evaluator
	a, b, less graph.ID
}

func newMeter(w *work) (*meter, error) {
	m := &meter{batch: w.batch}
	if m.batch == graph.None {
		return m, nil
	}
	unit := w.g.Node(w.batch).Unit
	m.b, m.less = 1, 2
	g, err := graph.Restore([]graph.Node{
		{Key: "with", Label: "cost of the batch", Unit: unit},
		{Key: "without", Label: "cost of the batch with the step as it was", Unit: unit},
		{Key: "effect", Label: "effect of the step on the cost of the batch", Unit: unit, Op: graph.Subtract, Args: []graph.ID{m.a, m.b}},
	}, nil)
	if err != nil {
		return nil, fmt.Errorf("curve: effect: %w", err)
	}
	m.e = exact.New(g)
	return m, nil
}

// beyond gives the batch cost of one evaluation beyond that of another; nil where
// there is none.
func (m *meter) beyond(a, b *exact.Values) (*decimal.Decimal, error) {
	if m.batch == graph.None {
		return nil, nil
	}
	x, okX := a.Raw(m.batch)
	y, okY := b.Raw(m.batch)
	if !okX || !okY {
		return nil, nil
	}
	v, err := m.e.Evaluate(exact.Pins{m.a: x, m.b: y})
	if err != nil {
		return nil, fmt.Errorf("curve: effect: %w", err)
	}
	d, err := v.Get(m.less)
	return &d, err
}
