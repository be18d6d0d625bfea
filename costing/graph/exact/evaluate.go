package exact

import (
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Pins overrides figures: inputs for what-if, decisions to hold, computed figures
// that were measured. A pin has at most 34 digits; a pinned figure is defined,
// whatever it rests on.
type Pins map[graph.ID]decimal.Decimal

// Evaluate evaluates a graph once. The error is a [*RangeError], an
// [*OutsideDecisionError] or a [*PinError]. A figure that is undefined is no
// error until it is asked for.
func Evaluate(g *graph.Graph, pins Pins) (*Values, error) {
	return New(g).Evaluate(pins)
}

// Evaluator evaluates one graph many times. It does not change, so that any
// number of goroutines may use it at once.
type Evaluator struct {
	g         *graph.Graph
	constants []num // of Constant, Range and Decided nodes
}

// New takes over the constants of a graph.
func New(g *graph.Graph) *Evaluator {
	e := &Evaluator{g: g, constants: make([]num, g.Len())}
	for i := range e.constants {
		switch n := g.Node(graph.ID(i)); n.Op {
		case graph.Constant, graph.Range, graph.Decided:
			e.constants[i] = lenient(n.Value)
		}
	}
	return e
}

// lenient takes a decimal over that the builder has checked for its length, and
// rounds it should it be longer all the same.
func lenient(d decimal.Decimal) num {
	if a, ok := fromDecimal(d); ok {
		return a
	}
	return roundedBig(d.Coefficient(), int(d.Exponent()), false)
}

// run is one evaluation under way.
type run struct {
	e      *Evaluator
	values []num
	// causes holds, for each figure, defined or the figure that is to blame.
	causes []graph.ID
	args   []num // room for the arguments of one node
	err    error
}

// defined is the cause of a figure that has a value.
const defined = graph.None

// Evaluate evaluates the graph with some figures pinned; see [Evaluate] for the
// errors.
func (e *Evaluator) Evaluate(pins Pins) (*Values, error) {
	held, err := e.held(pins)
	if err != nil {
		return nil, err
	}
	n := e.g.Len()
	r := &run{e: e, values: make([]num, n), causes: make([]graph.ID, n)}
	// The builder gives arguments lower ids than what is made of them, so one pass
	// in order computes all.
	for id := range graph.ID(n) {
		node := e.g.Node(id)
		var v num
		cause := defined
		// The pins come in the same order; what a pinned figure rests on does not matter,
		// not even that it has no value.
		if len(held) > 0 && held[0].id == id {
			v, held = held[0].value, held[1:]
		} else if v, cause = operations[node.Op](r, node, id); r.err != nil {
			return nil, r.err
		}
		// Checked at every figure, so that exponents stay small wherever they are used
		// without a check, and the figure named is the first that went wrong.
		if cause == defined && !v.inRange() {
			return nil, &RangeError{Key: node.Key}
		}
		r.values[id], r.causes[id] = v, cause
	}
	return &Values{g: e.g, values: r.values, causes: r.causes}, nil
}

// pin is a pinned figure ready for use.
type pin struct {
	id    graph.ID
	value num
}

// held gives the pins in the order of evaluation.
func (e *Evaluator) held(pins Pins) ([]pin, error) {
	if len(pins) == 0 {
		return nil, nil
	}
	out := make([]pin, 0, len(pins))
	for id := range pins {
		out = append(out, pin{id: id})
	}
	slices.SortFunc(out, func(a, b pin) int { return int(a.id) - int(b.id) })
	for i, p := range out {
		if p.id < 0 || int(p.id) >= e.g.Len() {
			return nil, &PinError{ID: p.id, Detail: "there is no such figure"}
		}
		v, ok := fromDecimal(pins[p.id])
		if !ok {
			// Refused and not rounded: the figures would be of another number than was typed.
			return nil, &PinError{ID: p.id, Key: e.g.Node(p.id).Key, Detail: "more than 34 digits"}
		}
		out[i].value = v
	}
	return out, nil
}
