package compare

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

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

// line is one line of a side.
type line struct {
	kind, leaf graph.ID
	node       graph.ID // what it adds to the headline
	key        lineKey
	value      decimal.Decimal
}

// lineKey is what partners of both sides share.
type lineKey struct{ kind, leaf string }

// open writes the lines of a side. The values of its graph decide which arm of a
// choice is opened.
func (s *side) open() (err error) {
	if s.values, err = exact.Evaluate(s.g, s.pins); err != nil {
		return &EvaluateError{s.name, err}
	}
	b := graph.Extend(s.g)
	o := &opening{side: s, s: b.Root().In("compare"), one: b.Root().One(graph.Plain)}
	for _, kind := range o.walk(term{s.top, o.one}, o.sums) {
		for _, leaf := range o.walk(kind, o.pieces) {
			s.lines = append(s.lines, line{kind: kind.id, leaf: leaf.id, node: o.times(leaf.id, leaf.weight)})
		}
	}
	if s.g, err = b.Build(); err != nil {
		return err
	}
	if s.values, err = exact.Evaluate(s.g, s.pins); err != nil {
		return &EvaluateError{s.name, err}
	}
	for i := range s.lines {
		l := &s.lines[i]
		l.key = lineKey{s.names.of(s.g.Node(l.kind).Key), s.names.of(s.g.Node(l.leaf).Key)}
		if l.value, err = s.values.Get(l.node); err != nil {
			return &EvaluateError{s.name, err}
		}
	}
	return nil
}

// walk opens a figure downwards, and gives what is not opened further, in the order
// in which the figures were written. A figure met on several ways is met once, with
// the weights added. A fixed nothing, which a credit is taken off, is no line.
func (o *opening) walk(from term, open func(n *graph.Node, weight graph.ID) []term) []term {
	weights := map[graph.ID][]graph.ID{from.id: {from.weight}}
	var leaves []term
	for id := from.id; id >= 0; id-- {
		if len(weights[id]) == 0 {
			continue
		}
		n := o.g.Node(id)
		if thing := thingOf(n.Key); o.things[thing] == "" { // the first met is nearest to the top
			o.things[thing] = n.Of
		}
		t := term{id, sumOf(o.s.In(o.name()), "weight", weights[id])}
		within := []term(nil)
		if _, pinned := o.pins[id]; !pinned {
			within = open(n, t.weight)
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

// sums opens sums, differences and the arm that holds of a choice; nil is for what
// is not opened. The headline has a value, so every figure on the way to it has one.
func (o *opening) sums(n *graph.Node, weight graph.ID) []term {
	switch n.Op {
	case graph.At:
		index, _ := o.values.Raw(n.Args[0])
		return []term{{n.Args[snapped(index).IntPart()], weight}}
	case graph.Choose:
		first, _ := o.values.Raw(n.Args[0])
		second, _ := o.values.Raw(n.Args[1])
		if n.Compare.Holds(snapped(first).Cmp(snapped(second))) {
			return []term{{n.Args[2], weight}}
		}
		return []term{{n.Args[3], weight}}
	}
	return o.plainSums(n, weight)
}

func (o *opening) plainSums(n *graph.Node, weight graph.ID) []term {
	switch n.Op {
	case graph.Add:
		out := make([]term, len(n.Args))
		for i, id := range n.Args {
			out[i] = term{id, weight}
		}
		return out
	case graph.Subtract:
		less := o.s.Fixed("minus-one", "minus one", graph.Plain, decimal.New(-1, 0), "definition")
		return []term{{n.Args[0], weight}, {n.Args[1], o.times(less, weight)}}
	}
	return nil
}

// pieces opens sums and differences, and what is shared out over pieces or taken
// by pieces: pairs of pieces and what each comes to.
func (o *opening) pieces(n *graph.Node, weight graph.ID) []term {
	counts := func(id graph.ID) bool { return o.g.Node(id).Unit == graph.Piece }
	shared := func(id graph.ID) bool { // made of others that lines can be
		op := o.g.Node(id).Op
		return (op == graph.Add || op == graph.Subtract || op == graph.SumProducts || op == graph.Divide) && !counts(id)
	}
	switch {
	case n.Op == graph.Divide && counts(n.Args[1]):
		return []term{{n.Args[0], o.s.Divide(o.name(), "weight", weight, n.Args[1])}}
	case n.Op == graph.SumProducts, n.Op == graph.Multiply && len(n.Args) == 2 && (shared(n.Args[0]) || shared(n.Args[1])):
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
	return o.plainSums(n, weight)
}

// sumOf adds any number of figures, a hundred at a time.
func sumOf(s graph.Scope, label string, ids []graph.ID) graph.ID {
	for level := 0; len(ids) > 1; level++ {
		var sums []graph.ID
		for chunk := range slices.Chunk(ids, 100) {
			sums = append(sums, s.Add(fmt.Sprintf("%d/%d", level, len(sums)), label, chunk...))
		}
		ids = sums
	}
	return ids[0]
}
