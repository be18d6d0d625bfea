package curve

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// model is a request made ready: what its figure rests on as a graph of its own,
// with the batch cost and the probes of its steps added. A sweep evaluates it some
// thousand times, and an estimate holds much more.
type model struct {
	g       *graph.Graph
	e       *exact.Evaluator
	request Request    // in the IDs of g
	drawn   []graph.ID // by ofFigure and ofBatch
	moves   []bool     // per figure: differs between quantities
	steps   []step
	stepOf  []int // per figure: 1 + place in steps, or 0
	readers graph.Readers
	with    graph.ID // what the batch costs in another evaluation,
	effect  graph.ID // and that beyond what it costs in this one
}

// What is drawn: the figure asked for, and what the batch costs, by which breaks
// are measured.
const (
	ofFigure = iota
	ofBatch
)

func newModel(g *graph.Graph, r Request) (*model, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	small, in, ok := g.Extract(r.Figure, r.Quantity, r.Full)
	if !ok {
		return nil, &RequestError{"figure", "the figure, the quantity or the full cost is not there", "name figures of the graph"}
	}
	figure, quantity, full := in[0], in[1], in[2]
	m := &model{request: r}
	m.request.Figure, m.request.Quantity, m.request.Full, m.request.Hold = figure, quantity, full, exact.Pins{}
	for id, v := range r.Hold { // what is not needed drops out
		if in, ok := small.Find(g.Key(id)); ok {
			m.request.Hold[in] = v
		}
	}
	b := graph.Extend(small)
	own := b.Root().In("curve").By("C5")
	batch := own.SumProducts("batch-cost", "cost of the batch", full, quantity)
	m.with = own.Input("with", "cost of the batch, stepped", own.Unit(batch), decimal.Zero)
	m.effect = own.Subtract("effect", "effect of the step on the cost of the batch", m.with, batch)
	m.drawn = []graph.ID{figure, batch}
	m.moves = m.moving(small)
	needed, probes := m.below(small, figure, full), own.In("probe")
	for id := range graph.ID(small.Len()) {
		if needed[id] && m.moves[id] && !m.given(id) {
			if st, ok := newStep(probes, small, id); ok {
				m.steps = append(m.steps, st)
			}
		}
	}
	var err error
	if m.g, err = b.Build(); err != nil {
		return nil, fmt.Errorf("curve: probes: %w", err)
	}
	m.stepOf = make([]int, m.g.Len())
	for i, st := range m.steps {
		m.stepOf[st.node] = i + 1
	}
	m.moves = m.moving(m.g)
	m.readers, m.e = m.g.Readers(), exact.New(m.g)
	return m, nil
}

// renumbered gives a copy of a node whose arguments have other IDs.
func renumbered(n graph.Node, to func(graph.ID) graph.ID) graph.Node {
	n.Args = slices.Clone(n.Args)
	for i, a := range n.Args {
		n.Args[i] = to(a)
	}
	if n.Decision != nil {
		how := *n.Decision
		how.Valid = slices.Clone(how.Valid)
		for i := range how.Valid {
			how.Valid[i].Input = to(how.Valid[i].Input)
		}
		n.Decision = &how
	}
	return n
}

// given reports that a figure is set from outside at every quantity.
func (m *model) given(id graph.ID) bool {
	_, held := m.request.Hold[id]
	return held || id == m.request.Quantity
}

// moving marks what differs between quantities.
func (m *model) moving(g *graph.Graph) []bool {
	moves := make([]bool, g.Len())
	moves[m.request.Quantity] = true
	for id := range graph.ID(g.Len()) {
		if !m.given(id) {
			moves[id] = slices.ContainsFunc(g.Operation(id).RestsOn(), func(a graph.ID) bool { return moves[a] })
		}
	}
	return moves
}

// below marks what some figures rest on, with what is given resting on nothing.
func (m *model) below(g *graph.Graph, roots ...graph.ID) []bool {
	return g.Reached(roots, func(id graph.ID) []graph.ID {
		if m.given(id) {
			return nil
		}
		return g.Operation(id).RestsOn()
	})
}

// name names a figure.
func (m *model) name(id graph.ID) Name {
	n := m.g.Node(id)
	return Name{Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit}
}

// at evaluates everything exactly at a quantity.
func (m *model) at(quantity int64) (*exact.Values, error) {
	pins := maps.Clone(m.request.Hold)
	pins[m.request.Quantity] = decimal.New(quantity, 0)
	v, err := m.e.Evaluate(pins)
	if err != nil {
		return nil, evaluation(quantity, err)
	}
	return v, nil
}

// live begins an exact evaluation in which steps can be held.
func (m *model) live() (*exact.Live, error) { return m.e.Live(m.request.Hold) }

func (m *model) pin(v *exact.Live, quantity int64) {
	v.Pin(m.request.Quantity, decimal.New(quantity, 0))
}

// evaluation names the quantity and the remedy of an error of the evaluator.
func evaluation(quantity int64, err error) error {
	remedy := "narrow the range, or change what the figure rests on"
	var outside *exact.OutsideDecisionError
	var none *exact.UndefinedError
	switch {
	case errors.As(err, &outside):
		remedy = "narrow the range, hold the decision, or build the estimate for this quantity"
	case errors.As(err, &none):
		remedy = "narrow the range to quantities at which " + none.Cause + " has a value"
	}
	return &QuantityError{Quantity: quantity, Err: err, Remedy: remedy}
}

// plan plans a graph in which the figures of the model begin at an ID, with the
// quantity, and then more figures, varying.
func (m *model) plan(g *graph.Graph, base graph.ID, more, outputs []graph.ID) (*column.Plan, error) {
	o := column.Options{Vary: append([]graph.ID{base + m.request.Quantity}, more...), Outputs: outputs, Hold: map[graph.ID]float64{}}
	for id, v := range m.request.Hold {
		o.Hold[base+id] = v.InexactFloat64()
	}
	p, err := column.New(g, o)
	if err != nil {
		return nil, evaluation(m.request.From, err)
	}
	return p, nil
}
