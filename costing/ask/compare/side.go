package compare

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

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

// side is a Side cut down to what its headline rests on, with the headline opened
// into lines.
type side struct {
	name   string // "before" or "after"
	names  naming
	g      *graph.Graph // with the lines behind what the headline rests on
	base   graph.ID     // the first node written for lines
	pins   exact.Pins
	values *exact.Values
	top    graph.ID
	value  decimal.Decimal
	frozen map[string]bool // computed figures that are one and the same on both sides
	lines  []line
	things map[string]string // words for what lines belong to, by its key
}

// pair prepares both sides, tells them about one another and opens them.
func pair(before, after Side) (b, a *side, err error) {
	if b, err = before.prepare("before"); err != nil {
		return nil, nil, err
	}
	if a, err = after.prepare("after"); err != nil {
		return nil, nil, err
	}
	if from, to := b.g.Node(b.top).Unit, a.g.Node(a.top).Unit; from != to {
		return nil, nil, &FigureError{"after", fmt.Sprintf("a figure in %q and one in %q have no difference: compare figures in one currency and unit, "+
			"such as costs in the currency of the book", from, to)}
	}
	b.names, a.names = namings(before.Headline, after.Headline)
	if before.Graph == after.Graph && maps.EqualFunc(before.Pins, after.Pins, decimal.Decimal.Equal) {
		b.freeze(a)
	}
	if err = b.open(); err != nil {
		return nil, nil, err
	}
	return b, a, a.open()
}

// prepare evaluates a side and cuts it down. Decisions are taken as they stand
// from here on.
func (in Side) prepare(name string) (*side, error) {
	if in.Graph == nil {
		return nil, missing(name, in.Headline)
	}
	top, ok := in.Graph.Find(in.Headline)
	if !ok {
		return nil, missing(name, in.Headline)
	}
	values, err := exact.Evaluate(in.Graph, in.Pins)
	if err != nil {
		return nil, &EvaluateError{name, err}
	}
	s := &side{name: name, pins: exact.Pins{}, things: map[string]string{}}
	if s.value, err = values.Get(top); err != nil {
		undefined := &exact.UndefinedError{}
		errors.As(err, &undefined)
		return nil, &FigureError{name, fmt.Sprintf("%s has no value on the side %s, because %s has none: put that right first", in.Headline, name, undefined.Cause)}
	}
	var ids []graph.ID
	s.g, ids, _ = in.Graph.Extract(top)
	s.top, s.base = ids[0], graph.ID(s.g.Len())
	for id, v := range in.Pins {
		if here, ok := s.g.Find(in.Graph.Node(id).Key); ok {
			s.pins[here] = v
		}
	}
	return s, nil
}

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

// naming gives the keys of one side names that both sides share.
type naming struct {
	headline string
	elements map[string]string // per element of a key that has another name on the other side
}

// namings compares the keys of two headlines element by element. The first
// element, which says what sort of thing it is, and the last, which names the
// figure, are never taken for one another in other keys.
func namings(before, after string) (b, a naming) {
	b, a = naming{before, map[string]string{}}, naming{after, map[string]string{}}
	was, is := strings.Split(before, "/"), strings.Split(after, "/")
	if len(was) != len(is) {
		return b, a
	}
	for i := 1; i < len(was)-1; i++ {
		if was[i] == is[i] || b.elements[was[i]] != "" || b.elements[is[i]] != "" {
			continue
		}
		// The second is for the element of the other headline should it occur on
		// the same side. No key has these marks.
		own, other := fmt.Sprintf("≙own%d", i), fmt.Sprintf("≙other%d", i)
		b.elements[was[i]], b.elements[is[i]] = own, other
		a.elements[is[i]], a.elements[was[i]] = own, other
	}
	return b, a
}

// of gives the shared name of a key.
func (n naming) of(key string) string {
	if key == n.headline {
		return "headline"
	}
	if len(n.elements) == 0 {
		return key
	}
	elements := strings.Split(key, "/")
	for i, e := range elements {
		if mark, ok := n.elements[e]; ok && i > 0 {
			elements[i] = mark
		}
	}
	return strings.Join(elements, "/")
}

// classes gives the class of every figure. Figures of one class have the same
// structure: the same names, operations and arguments down to the same leaves; a
// leaf may have another value on the other side. A figure written for a line has
// no name of its own.
func (s *side) classes(known map[string]int) []int {
	out := make([]int, s.g.Len())
	for id := range graph.ID(s.g.Len()) {
		n := s.g.Node(id)
		form := fmt.Sprintf("|%s|", n.Unit)
		if id < s.base || len(n.Args) == 0 {
			form = s.names.of(n.Key) + form
		}
		switch {
		case !s.leaf(id):
			args := make([]int, len(n.Args))
			for i, a := range n.Args {
				args[i] = out[a]
			}
			switch n.Op { // an evaluator rounds a whole sum or product once, so the order does not matter
			case graph.Add, graph.Multiply, graph.Minimum, graph.Maximum:
				slices.Sort(args)
			}
			form += fmt.Sprintf("%d %d %v %v", n.Op, n.Compare, n.Axes, args)
		case len(n.Args) > 0:
			form += "held"
		}
		class, met := known[form]
		if !met {
			class = len(known) + 1
			known[form] = class
		}
		out[id] = class
	}
	return out
}
