package compare

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// line is one line of a side.
type line struct {
	key               lineKey
	ofThing           string // the shared name of the thing
	kind, thing, name Name
	node              graph.ID // what it adds to the headline
	value             decimal.Decimal
}

// lineKey is what partners of both sides share.
type lineKey struct{ kind, leaf string }

// open writes the lines of a side. The values of its graph decide which arm of a
// choice is opened.
func (s *side) open() (err error) {
	b := graph.Extend(s.Graph)
	o := &opening{side: s, s: b.Root().In("compare"), one: b.Root().One(graph.Plain)}
	for _, kind := range o.walk(term{s.top, o.one}, false) {
		for _, leaf := range o.walk(kind, true) {
			k, n := s.Graph.Node(kind.id), s.Graph.Node(leaf.id)
			thing := thingOf(n.Key)
			s.lines = append(s.lines, line{node: o.times(leaf.id, leaf.weight),
				key: lineKey{s.names.of(k.Key), s.names.of(n.Key)}, ofThing: s.names.of(thing),
				kind: Name{k.Key, k.Of, k.Label}, name: Name{n.Key, n.Of, n.Label}, thing: Name{Key: thing, Label: s.things[thing]}})
		}
	}
	if s.Graph, err = b.Build(); err != nil {
		return err
	}
	if err = s.evaluate(); err != nil {
		return err
	}
	for i := range s.lines {
		if s.lines[i].value, err = s.values.Get(s.lines[i].node); err != nil {
			return &EvaluateError{s.name, err}
		}
	}
	return nil
}

// opening opens the headline of a side into its lines. Every line, and the weight
// by which it counts, is a node written behind those of the side.
type opening struct {
	*side
	s     graph.Scope
	one   graph.ID
	count int // of nodes written
}

// term is a figure within another, with the weight by which it counts in it.
type term struct{ id, weight graph.ID }

// walk opens a figure downwards, and gives what is not opened further, in the order
// in which the figures were written. A figure met on several ways is met once, with
// the weights added. A fixed nothing, which a credit is taken off, is no line.
func (o *opening) walk(from term, byPieces bool) []term {
	weights := map[graph.ID][]graph.ID{from.id: {from.weight}}
	var leaves []term
	for id := from.id; id >= 0; id-- {
		if len(weights[id]) == 0 {
			continue
		}
		n := o.Graph.Node(id)
		if thing := thingOf(n.Key); o.things[thing] == "" { // the first met is nearest to the top
			o.things[thing] = n.Of
		}
		t := term{id, o.s.Total(o.name(), "weight", weights[id]...)}
		within := []term(nil)
		if _, pinned := o.Pins[id]; !pinned {
			within = o.within(n, t.weight, byPieces)
		}
		if within == nil && !(n.Kind == graph.Fixed && n.Value.IsZero()) {
			leaves = append(leaves, t)
		}
		for _, w := range within {
			weights[w.id] = append(weights[w.id], w.weight)
		}
	}
	slices.Reverse(leaves)
	return leaves
}

// thingOf is the key of what a figure belongs to.
func thingOf(key string) string {
	if elements := strings.SplitN(key, "/", 3); len(elements) == 3 && elements[2] != "" {
		return elements[0] + "/" + elements[1]
	}
	return key
}

// name gives the name of the next node written.
func (o *opening) name() string {
	o.count++
	return fmt.Sprintf("step/%d", o.count)
}

// times gives a figure × its weight.
func (o *opening) times(id, weight graph.ID) graph.ID {
	switch o.one {
	case weight:
		return id
	case id:
		return weight
	}
	return o.s.Multiply(o.name(), "weighted", weight, id)
}

// within opens sums and differences, and besides either the arm that holds of a
// choice or what goes by pieces; nil is for what is not opened. The headline has a
// value, so every figure on the way to it has one.
func (o *opening) within(n graph.Node, weight graph.ID, byPieces bool) []term {
	value := func(arg int) decimal.Decimal {
		v, _ := o.values.Raw(n.Args[arg])
		return snapped(v)
	}
	switch {
	case n.Op == graph.Add:
		out := make([]term, len(n.Args))
		for i, id := range n.Args {
			out[i] = term{id, weight}
		}
		return out
	case n.Op == graph.Subtract:
		less := o.s.Fixed("minus-one", "minus one", graph.Plain, decimal.New(-1, 0), "definition")
		return []term{{n.Args[0], weight}, {n.Args[1], o.times(less, weight)}}
	case byPieces:
		return o.pieces(n, weight)
	case n.Op == graph.At:
		return []term{{n.Args[value(0).IntPart()], weight}}
	case n.Op == graph.Choose && n.Compare.Holds(value(0).Cmp(value(1))):
		return []term{{n.Args[2], weight}}
	case n.Op == graph.Choose:
		return []term{{n.Args[3], weight}}
	}
	return nil
}

// pieces opens what is shared out over pieces or taken by pieces: pairs of pieces
// and what each comes to.
func (o *opening) pieces(n graph.Node, weight graph.ID) []term {
	counts := func(id graph.ID) bool { return o.Graph.Node(id).Unit == graph.Piece }
	shared := func(id graph.ID) bool { // made of others that lines can be
		return !counts(id) && slices.Contains([]graph.Op{graph.Add, graph.Subtract, graph.SumProducts, graph.Divide}, o.Graph.Node(id).Op)
	}
	switch {
	case n.Op == graph.Divide && counts(n.Args[1]):
		return []term{{n.Args[0], o.s.Divide(o.name(), "weight", weight, n.Args[1])}}
	case n.Op == graph.SumProducts, n.Op == graph.Multiply && len(n.Args) == 2 && slices.ContainsFunc(n.Args, shared):
		var out []term
		for pair := range slices.Chunk(n.Args, 2) {
			pieces, each := pair[0], pair[1]
			if counts(each) {
				pieces, each = each, pieces
			}
			if counts(each) || !counts(pieces) {
				return nil
			}
			out = append(out, term{each, o.times(pieces, weight)})
		}
		return out
	}
	return nil
}
