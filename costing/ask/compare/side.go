package compare

import (
	"errors"
	"maps"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Side is one of two figures: a graph, what is pinned in it, and the key of the
// headline.
type Side struct {
	Graph    *graph.Graph
	Pins     exact.Pins
	Headline string
}

// side is a Side cut down to what its headline rests on.
type side struct {
	name   string // "before" or "after"
	names  naming
	g      *graph.Graph
	pins   exact.Pins
	top    graph.ID
	value  decimal.Decimal
	frozen map[string]bool // computed figures that are one and the same on both sides
}

// prepare evaluates a side and cuts it down. Decisions are taken as they stand
// from here on.
func (in Side) prepare(name string) (*side, error) {
	if in.Graph == nil {
		return nil, &MissingError{name, in.Headline}
	}
	top, ok := in.Graph.Find(in.Headline)
	if !ok {
		return nil, &MissingError{name, in.Headline}
	}
	values, err := exact.Evaluate(in.Graph, in.Pins)
	if err != nil {
		return nil, &EvaluateError{name, err}
	}
	s := &side{name: name}
	if s.value, err = values.Get(top); err != nil {
		undefined := &exact.UndefinedError{}
		errors.As(err, &undefined)
		return nil, &UndefinedError{name, in.Headline, undefined.Cause}
	}
	g, ids := restingOn(in.Graph, top)
	s.g, s.top, s.pins = g, ids[0], exact.Pins{}
	for id, v := range in.Pins {
		if here, ok := g.Find(in.Graph.Node(id).Key); ok {
			s.pins[here] = v
		}
	}
	return s, nil
}

// restingOn cuts a graph down to what some of its figures rest on.
func restingOn(g *graph.Graph, ids ...graph.ID) (*graph.Graph, []graph.ID) {
	cone, in, _ := g.Extract(ids...)
	return cone, in
}

// pair prepares both sides and tells them about one another.
func pair(before, after Side) (b, a *side, err error) {
	if b, err = before.prepare("before"); err != nil {
		return nil, nil, err
	}
	if a, err = after.prepare("after"); err != nil {
		return nil, nil, err
	}
	if from, to := b.unit(), a.unit(); from != to {
		return nil, nil, &UnitError{from.String(), to.String()}
	}
	b.names, a.names = namings(before.Headline, after.Headline)
	if before.Graph == after.Graph && samePins(before.Pins, after.Pins) {
		b.freeze(a)
	}
	return b, a, nil
}

func (s *side) unit() graph.Unit { return s.g.Node(s.top).Unit }

func samePins(a, b exact.Pins) bool { return maps.EqualFunc(a, b, decimal.Decimal.Equal) }

// freeze marks the computed figures that both headlines rest on, where both are
// figures of one evaluation: such a figure is no difference, whatever it rests
// on. (A part pooled over a mix rests on the quantities of both variants.)
func (s *side) freeze(other *side) {
	s.frozen = map[string]bool{}
	for id := range graph.ID(s.g.Len()) {
		n := s.g.Node(id)
		if _, both := other.g.Find(n.Key); both && len(n.Args) > 0 && s.names.of(n.Key) == n.Key {
			s.frozen[n.Key] = true
		}
	}
	other.frozen = s.frozen
}

// leaf reports whether a figure is given and not computed: typed, decided or held.
func (s *side) leaf(id graph.ID) bool { return len(s.g.Node(id).Args) == 0 || s.held(id) }

// held reports whether a figure is pinned, or computed and the same on both sides.
func (s *side) held(id graph.ID) bool {
	_, pinned := s.pins[id]
	return pinned || s.frozen[s.g.Node(id).Key]
}
