package compare

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
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
	Side           // the graph has the lines behind what the headline rests on
	name    string // "before" or "after"
	names   naming
	base    graph.ID // the first node written for lines
	values  *exact.Values
	top     graph.ID
	value   decimal.Decimal
	held    map[graph.ID]bool // figures that are pinned, or computed and one and the same on both sides
	lines   []line
	things  map[string]string // words for what lines belong to, by its key
	classes []int             // of the figures: those of one class have the same structure
}

// prepare evaluates a side and cuts it down. Decisions are taken as they stand
// from here on.
func (in Side) prepare(name string) (*side, error) {
	top, ok := in.Graph.Find(in.Headline)
	if !ok {
		return nil, &FigureError{name, fmt.Sprintf("there is no figure %s on the side %s: name one that both sides have", in.Headline, name)}
	}
	cone, ids, _ := in.Graph.Extract(top)
	s := &side{Side: Side{cone, exact.Pins{}, in.Headline}, name: name, base: graph.ID(cone.Len()), top: ids[0], held: map[graph.ID]bool{}, things: map[string]string{}}
	for id, v := range in.Pins {
		if here, ok := cone.Find(in.Graph.Key(id)); ok {
			s.Pins[here], s.held[here] = v, true
		}
	}
	err := s.evaluate()
	if err != nil {
		return nil, err
	}
	if s.value, err = s.values.Get(s.top); err != nil {
		undefined := &exact.UndefinedError{}
		errors.As(err, &undefined)
		return nil, &FigureError{name, fmt.Sprintf("%s has no value on the side %s, because %s has none: put that right first", in.Headline, name, undefined.Cause)}
	}
	return s, nil
}

func (s *side) evaluate() (err error) {
	if s.values, err = exact.Evaluate(s.Graph, s.Pins); err != nil {
		return &EvaluateError{s.name, err}
	}
	return nil
}

// figure describes a figure.
func (s *side) figure(id graph.ID) Figure {
	n := s.Graph.Node(id)
	f := Figure{Key: n.Key, Of: n.Of, Label: n.Label, Unit: n.Unit}
	f.Value, _ = s.values.Raw(id)
	if n.Decision != nil {
		if i := f.Value.IntPart(); f.Value.IsInteger() && i >= 1 && int(i) <= len(n.Decision.Options) {
			f.Chosen = n.Decision.Options[i-1]
		}
	}
	return f
}

// given reports whether a figure is typed, decided or held, and not computed.
func (s *side) given(id graph.ID) bool { return len(s.Graph.Args(id)) == 0 || s.held[id] }

// form is what figures of one class have in common.
type form struct {
	name    string // that both sides share; empty for a figure written for a line
	unit    graph.Unit
	held    bool
	op      graph.Op // of what is computed, as all that follows
	compare graph.Comparison
	within  string // bands, and the classes of the arguments
}

// classify gives the class of every figure. Figures of one class have the same
// structure: the same form down to what is given, which may have another value on
// the other side.
func (s *side) classify(known map[form]int) {
	s.classes = make([]int, s.Graph.Len())
	var args []int
	var within []byte
	for id := range graph.ID(s.Graph.Len()) {
		n := s.Graph.Operation(id)
		f := form{unit: s.Graph.Unit(id), held: s.held[id] && len(n.Args) > 0}
		if id < s.base || len(n.Args) == 0 {
			f.name = s.names.of(s.Graph.Key(id))
		}
		if !s.given(id) {
			args = args[:0]
			for _, a := range n.Args {
				args = append(args, s.classes[a])
			}
			switch n.Op { // an evaluator rounds a whole sum or product once, so the order does not matter
			case graph.Add, graph.Multiply, graph.Minimum, graph.Maximum:
				slices.Sort(args)
			}
			within = within[:0]
			if n.Axes != nil {
				within = fmt.Append(within, n.Axes)
			}
			for _, class := range args {
				within = strconv.AppendInt(append(within, ' '), int64(class), 10)
			}
			f.op, f.compare, f.within = n.Op, n.Compare, string(within)
		}
		known[f] = cmp.Or(known[f], len(known)+1)
		s.classes[id] = known[f]
	}
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
