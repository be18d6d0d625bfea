package simulate

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/shape"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// subject is a graph made ready to be drawn: what varies, what is held, and the
// likely figures.
type subject struct {
	g         *graph.Graph
	request   *Request
	block     int // draws of one: a Latin hypercube, a replicate
	exact     *exact.Evaluator
	likely    []decimal.Decimal // per output
	pins      exact.Pins        // Request.Hold and the decisions
	values    *exact.Values     // with those: what does not vary stands in every plan
	held      []Decision        // see Result
	free      []Decision
	needed    []graph.ID // figures that the outputs rest on, in order
	uncertain []bool     // per figure: it could come out otherwise
	inputs    []input    // that vary, by key
	groups    []group    // of correlated inputs
}

// input is a range that the outputs rest on.
type input struct {
	id     graph.ID
	key    uint64 // hash of its key
	spread shape.Spread
	sample *shape.Sampler
	group  int // index in subject.groups, −1 for an independent one
}

// newSubject evaluates the likely figures and settles what varies and what is held.
// The error is a [*RequestError] or one of exact evaluation.
func newSubject(e *exact.Evaluator, r *Request) (*subject, error) {
	s := &subject{g: e.Graph(), request: r, block: column.Block, exact: e}
	values, err := s.exact.Evaluate(r.Hold)
	if err != nil {
		return nil, err
	}
	for i, id := range r.Outputs {
		v, err := values.Get(id)
		if err != nil {
			return nil, &RequestError{place("outputs", i), err.Error() + " at the likely values", "choose another figure or fill in what is missing"}
		}
		s.likely = append(s.likely, v)
	}
	s.decide(values)
	if err := s.undraw(); err != nil {
		return nil, err
	}
	s.vary()
	if s.values, err = s.exact.Evaluate(s.pins); err != nil {
		return nil, err
	}
	return s, s.correlate()
}

// undraw takes what draws added to a likely cost off again, now that the price asked is
// held: a draw has a cost of its own.
func (s *subject) undraw() error {
	off := false
	for _, id := range s.g.Drawn() {
		if _, pinned := s.pins[id]; pinned {
			s.pins[id], off = decimal.Zero, true
		}
	}
	if !off {
		return nil
	}
	values, err := s.exact.Evaluate(s.pins)
	for i, id := range s.request.Outputs {
		if v, ok := values.Raw(id); err == nil && ok {
			s.likely[i] = v
		}
	}
	return err
}

// vary finds the ranges that the outputs rest on.
func (s *subject) vary() {
	for _, id := range s.needed {
		if _, pinned := s.pins[id]; s.g.Operation(id).Op == graph.Range && !pinned && s.wide(id) {
			n := s.g.Node(id)
			s.inputs = append(s.inputs, input{id: id, key: keyHash(n.Key), spread: shape.Of(n), sample: shape.Of(n).Sampler(), group: -1})
		}
	}
	slices.SortFunc(s.inputs, func(a, b input) int { return cmp.Compare(s.g.Key(a.id), s.g.Key(b.id)) })
}

// options are those of a plan that varies and wants the given figures.
func (s *subject) options(vary, outputs []graph.ID) column.Options {
	o := column.Options{Vary: vary, Outputs: outputs, Hold: make(map[graph.ID]float64, len(s.pins)), Values: s.values}
	for id, v := range s.pins {
		o.Hold[id] = v.InexactFloat64()
	}
	return o
}

// ids lists the inputs that vary.
func (s *subject) ids() []graph.ID {
	out := make([]graph.ID, len(s.inputs))
	for i, in := range s.inputs {
		out[i] = in.id
	}
	return out
}
