package exact

import (
	"slices"
	"sync"

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
	held, err := inOrder(g, pins)
	if err != nil {
		return nil, err
	}
	return evaluate(g, nil, held)
}

// Evaluator evaluates one graph many times: as it is once, and with pins what they
// reach. It does not change for who uses it, so that any number of goroutines may at
// once.
type Evaluator struct {
	g       *graph.Graph
	asIs    func() (*Values, error)
	readers func() graph.Readers
}

// New gives the evaluator of a graph.
func New(g *graph.Graph) *Evaluator {
	return &Evaluator{g, sync.OnceValues(func() (*Values, error) { return evaluate(g, nil, nil) }), sync.OnceValue(g.Readers)}
}

// Graph is what it evaluates.
func (e *Evaluator) Graph() *graph.Graph { return e.g }

// Evaluate evaluates the graph with some figures pinned; see [Evaluate] for the
// errors.
func (e *Evaluator) Evaluate(pins Pins) (*Values, error) {
	held, err := inOrder(e.g, pins)
	if err != nil {
		return nil, err
	}
	before, err := e.asIs()
	switch {
	case len(held) == 0:
		return before, err
	case err != nil: // of a figure that a pin may mend
		return evaluate(e.g, nil, held)
	}
	return evaluate(e.g, before, held)
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
	g      *graph.Graph
	values []num
	// causes holds, for each figure, defined or the figure that is to blame.
	causes []graph.ID
	op     graph.Operation // of the node that is computed; here, so that none is put on the heap
	args   []num           // room for the arguments of one node
	worked map[call]num    // what costly functions have given
	err    error
}

// defined is the cause of a figure that has a value.
const defined = graph.None

// evaluate evaluates a graph with some figures pinned: all of it, or where it was evaluated
// before what the pins reach, which is what rests on a figure that has changed, in any
// digit or in the cause why it has no value.
func evaluate(g *graph.Graph, before *Values, held []pin) (*Values, error) {
	n := graph.ID(g.Len())
	r := &run{g: g, worked: map[call]num{}}
	first, changed := graph.ID(0), []bool(nil)
	if before == nil {
		r.values, r.causes = make([]num, n), make([]graph.ID, n)
	} else {
		r.values, r.causes = slices.Clone(before.values), slices.Clone(before.causes)
		first, changed = held[0].id, make([]bool, n)
	}
	// The builder gives arguments lower ids than what is made of them, so one pass
	// in order computes all.
	for id := first; id < n; id++ {
		// The pins come in the same order; what a pinned figure rests on does not matter,
		// not even that it has no value.
		if len(held) > 0 && held[0].id == id {
			r.set(id, held[0].value, defined)
			held = held[1:]
		} else {
			o := g.Operation(id)
			if before != nil && !slices.ContainsFunc(o.RestsOn(), func(a graph.ID) bool { return changed[a] }) {
				continue
			}
			r.compute(id, o)
		}
		if r.err != nil {
			return nil, r.err
		}
		if before != nil {
			changed[id] = r.values[id] != before.values[id] || r.causes[id] != before.causes[id]
		}
	}
	return &Values{g: g, values: r.values, causes: r.causes}, nil
}

func (r *run) compute(id graph.ID, o graph.Operation) {
	r.op = o
	v, cause := operations[o.Op](r, &r.op, id)
	if r.err == nil {
		r.set(id, v, cause)
	}
}

// set checks every figure for its size, so that exponents stay small wherever they are
// used without a check, and the figure named is the first that went wrong.
func (r *run) set(id graph.ID, v num, cause graph.ID) {
	if cause == defined && !v.inRange() {
		r.err = &RangeError{Key: r.g.Key(id)}
	}
	r.values[id], r.causes[id] = v, cause
}

// pin is a pinned figure ready for use.
type pin struct {
	id    graph.ID
	value num
}

// inOrder gives the pins in the order of evaluation.
func inOrder(g *graph.Graph, pins Pins) ([]pin, error) {
	if len(pins) == 0 {
		return nil, nil
	}
	out := make([]pin, 0, len(pins))
	for id := range pins {
		out = append(out, pin{id: id})
	}
	slices.SortFunc(out, func(a, b pin) int { return int(a.id) - int(b.id) })
	for i, p := range out {
		if p.id < 0 || int(p.id) >= g.Len() {
			return nil, &PinError{ID: p.id, Detail: "there is no such figure"}
		}
		v, ok := fromDecimal(pins[p.id])
		if !ok {
			// Refused and not rounded: the figures would be of another number than was typed.
			return nil, &PinError{ID: p.id, Key: g.Key(p.id), Detail: "more than 34 digits"}
		}
		out[i].value = v
	}
	return out, nil
}
