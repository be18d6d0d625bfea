package curve

import (
	"errors"
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// work is a request made ready: what its figures rest on as a graph of its own,
// with the batch cost and the probes of its step nodes added.
type work struct {
	g       *graph.Graph
	whole   []graph.ID // IDs of the graph of the request; the added ones have none
	e       *exact.Evaluator
	request Request // in the IDs of g
	batch   graph.ID
	moves   []bool // per figure: differs between quantities
	steps   []step
	stepOf  []int // per figure: 1 + place in steps, or 0
}

func newWork(g *graph.Graph, r Request) (*work, error) {
	if err := r.check(g); err != nil {
		return nil, err
	}
	small, err := reduce(g, r.roots())
	if err != nil {
		return nil, fmt.Errorf("curve: what the figures rest on: %w", err)
	}
	w := &work{whole: small.from, request: r.renumbered(small.to), batch: graph.None}
	b := graph.Extend(small.g)
	if err := w.addBatch(b); err != nil {
		return nil, err
	}
	w.findMoves(small.g)
	needed := w.needed(small.g)
	probes := b.Root().In("curve", "probe")
	for id := range graph.ID(small.g.Len()) {
		if !needed[id] || !w.moves[id] || w.given(id) {
			continue
		}
		if st, ok := newStep(probes, small.g, id); ok {
			w.steps = append(w.steps, st)
		}
	}
	if w.g, err = b.Build(); err != nil {
		return nil, fmt.Errorf("curve: probes: %w", err)
	}
	w.stepOf = make([]int, w.g.Len())
	for i, st := range w.steps {
		w.stepOf[st.node] = i + 1
	}
	w.findMoves(w.g)
	w.e = exact.New(w.g)
	return w, nil
}

// roots are all figures that the request names.
func (r Request) roots() []graph.ID {
	out := append([]graph.ID(nil), r.Figures...)
	for _, l := range r.Lines {
		out = append(out, l.Quantity)
	}
	for _, p := range r.Batch {
		out = append(out, p.Each, p.Pieces)
	}
	return out
}

// renumbered gives the request in the IDs of the reduced graph. What is held and
// not needed drops out.
func (r Request) renumbered(to map[graph.ID]graph.ID) Request {
	out := r
	out.Figures, out.Lines, out.Batch, out.Hold = nil, nil, nil, exact.Pins{}
	for _, id := range r.Figures {
		out.Figures = append(out.Figures, to[id])
	}
	for _, l := range r.Lines {
		out.Lines = append(out.Lines, Line{to[l.Quantity], l.per()})
	}
	for _, p := range r.Batch {
		out.Batch = append(out.Batch, Product{to[p.Each], to[p.Pieces]})
	}
	for id, v := range r.Hold {
		if in, ok := to[id]; ok {
			out.Hold[in] = v
		}
	}
	return out
}

// addBatch writes the batch cost.
func (w *work) addBatch(b *graph.Builder) error {
	var pairs []graph.ID
	for _, p := range w.request.Batch {
		pairs = append(pairs, p.Each, p.Pieces)
	}
	if len(pairs) == 0 {
		return nil
	}
	w.batch = b.Root().In("curve").By("C5").SumProducts("batch-cost", "cost of the batch", pairs...)
	if w.batch != graph.Failed {
		return nil
	}
	_, err := b.Build()
	var fault *graph.FaultError
	if errors.As(err, &fault) {
		return &RequestError{"batch", fault.Detail, "give costs per piece and pieces, all in one currency"}
	}
	return err
}

// given reports that a figure is set from outside at every quantity.
func (w *work) given(id graph.ID) bool {
	if _, held := w.request.Hold[id]; held {
		return true
	}
	for _, l := range w.request.Lines {
		if l.Quantity == id {
			return true
		}
	}
	return false
}

// findMoves marks what differs between quantities.
func (w *work) findMoves(g *graph.Graph) {
	w.moves = make([]bool, g.Len())
	for _, l := range w.request.Lines {
		w.moves[l.Quantity] = true
	}
	for id := range graph.ID(g.Len()) {
		if w.given(id) {
			continue
		}
		for _, a := range g.Node(id).Args {
			w.moves[id] = w.moves[id] || w.moves[a]
		}
	}
}

// needed marks what the figures and the batch cost rest on, with what is given
// resting on nothing.
func (w *work) needed(g *graph.Graph) []bool {
	roots := append([]graph.ID(nil), w.request.Figures...)
	for _, p := range w.request.Batch {
		roots = append(roots, p.Each, p.Pieces)
	}
	return w.below(g, roots...)
}

// below marks what some figures rest on.
func (w *work) below(g *graph.Graph, roots ...graph.ID) []bool {
	out := make([]bool, g.Len())
	for _, id := range roots {
		out[id] = true
	}
	for id := graph.ID(g.Len()) - 1; id >= 0; id-- {
		if out[id] && !w.given(id) {
			for _, a := range g.Node(id).Args {
				out[a] = true
			}
		}
	}
	return out
}

// at evaluates everything exactly at a quantity, with more figures held.
func (w *work) at(quantity int64, more exact.Pins) (*exact.Values, error) {
	pins := make(exact.Pins, len(w.request.Hold)+len(w.request.Lines)+len(more))
	for id, v := range w.request.Hold {
		pins[id] = v
	}
	for _, l := range w.request.Lines {
		pins[l.Quantity] = decimal.New(l.Per*quantity, 0)
	}
	for id, v := range more {
		pins[id] = v
	}
	v, err := w.e.Evaluate(pins)
	if err != nil {
		return nil, w.evaluation(quantity, err)
	}
	return v, nil
}

// evaluation names the quantity and the remedy of an error of the evaluator.
func (w *work) evaluation(quantity int64, err error) error {
	var pin *exact.PinError
	if errors.As(err, &pin) {
		return &RequestError{"hold", pin.Error(), "hold it at a number of at most 34 digits"}
	}
	remedy := "narrow the range, or change what the figure rests on"
	var outside *exact.OutsideDecisionError
	if errors.As(err, &outside) {
		remedy = "narrow the range, hold the decision, or build the estimate for this quantity"
	}
	return &QuantityError{Quantity: quantity, Err: err, Remedy: remedy}
}
