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
	values *exact.Values
	s      graph.Scope
	one    graph.ID
	count  int // of nodes written
	things map[string]string
}

// term is a figure within another, with the weight by which it counts in it.
type term struct {
	id     graph.ID
	weight graph.ID
}

// line is one line of a side.
type line struct {
	kind, leaf graph.ID // in the graph of the side, kept in the opened one
	node       graph.ID // what it adds to the headline, in the opened graph
	key        lineKey
	value      decimal.Decimal
}

// lineKey is what partners of both sides share.
type lineKey struct{ kind, leaf string }

// opened is a side with its lines written into its graph.
type opened struct {
	*side
	values *exact.Values
	base   graph.ID // first of the nodes written for lines
	lines  []line
	things map[string]string // words for what lines belong to, by its key
}

// open writes the lines of a side. The values of its graph decide which arm of a
// choice is opened.
func (s *side) open() (*opened, error) {
	values, err := exact.Evaluate(s.g, s.pins)
	if err != nil {
		return nil, &EvaluateError{s.name, err}
	}
	b := graph.Extend(s.g)
	root := b.Root()
	out := &opened{base: graph.ID(s.g.Len())}
	o := &opening{side: s, values: values, s: root.In("compare"), one: root.One(graph.Plain), things: map[string]string{}}
	for _, kind := range o.walk(term{s.top, o.one}, o.sums) {
		for _, leaf := range o.walk(kind, o.pieces) {
			out.lines = append(out.lines, line{kind: kind.id, leaf: leaf.id, node: o.times(leaf.id, leaf.weight)})
		}
	}
	g, err := b.Build()
	if err != nil {
		return nil, err
	}
	here := *s
	here.g = g
	out.side, out.things = &here, o.things
	return out, out.evaluate()
}

// evaluate gives the lines their values and keys.
func (o *opened) evaluate() error {
	values, err := exact.Evaluate(o.g, o.pins)
	if err != nil {
		return &EvaluateError{o.name, err}
	}
	o.values = values
	for i := range o.lines {
		l := &o.lines[i]
		l.key = lineKey{o.names.of(o.g.Node(l.kind).Key), o.names.of(o.g.Node(l.leaf).Key)}
		if l.value, err = values.Get(l.node); err != nil {
			return &EvaluateError{o.name, err}
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
		o.note(id)
		t := term{id, sumOf(o.s.In(o.name()), "weight", weights[id])}
		within := []term(nil)
		if _, pinned := o.pins[id]; !pinned {
			within = open(o.g.Node(id), t.weight)
		}
		if within == nil && !o.nothing(id) {
			leaves = append(leaves, t)
		}
		for _, w := range within {
			weights[w.id] = append(weights[w.id], w.weight)
		}
	}
	slices.Reverse(leaves)
	return leaves
}

func (o *opening) nothing(id graph.ID) bool {
	n := o.g.Node(id)
	return n.Kind == graph.Fixed && n.Value.IsZero()
}

// note keeps the words for the thing a figure belongs to: those of the first
// figure met, which is nearest to the top.
func (o *opening) note(id graph.ID) {
	n := o.g.Node(id)
	if thing := thingOf(n.Key); o.things[thing] == "" {
		o.things[thing] = n.Of
	}
}

// thingOf is the key of what a figure belongs to.
func thingOf(key string) string {
	first, rest, _ := strings.Cut(key, "/")
	second, rest, deeper := strings.Cut(rest, "/")
	if !deeper || rest == "" {
		return key
	}
	return first + "/" + second
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
// is not opened.
func (o *opening) sums(n *graph.Node, weight graph.ID) []term {
	if n.Op == graph.At || n.Op == graph.Choose {
		return o.alike([]graph.ID{o.arm(n)}, weight)
	}
	return o.plainSums(n, weight)
}

// arm is the argument of a choice that holds. The headline has a value, so every
// figure on the way to it has one.
func (o *opening) arm(n *graph.Node) graph.ID {
	first, _ := o.values.Raw(n.Args[0])
	if n.Op == graph.At {
		return n.Args[snapped(first).IntPart()]
	}
	second, _ := o.values.Raw(n.Args[1])
	if n.Compare.Holds(snapped(first).Cmp(snapped(second))) {
		return n.Args[2]
	}
	return n.Args[3]
}

func (o *opening) plainSums(n *graph.Node, weight graph.ID) []term {
	switch n.Op {
	case graph.Add:
		return o.alike(n.Args, weight)
	case graph.Subtract:
		less := o.s.Fixed("minus-one", "minus one", graph.Plain, decimal.New(-1, 0), "definition")
		return []term{{n.Args[0], weight}, {n.Args[1], o.times(less, weight)}}
	}
	return nil
}

func (o *opening) alike(ids []graph.ID, weight graph.ID) []term {
	out := make([]term, len(ids))
	for i, id := range ids {
		out[i] = term{id, weight}
	}
	return out
}

// pieces opens sums and differences, and what is shared out over pieces or taken
// by pieces.
func (o *opening) pieces(n *graph.Node, weight graph.ID) []term {
	switch n.Op {
	case graph.Divide:
		if o.counts(n.Args[1]) {
			return []term{{n.Args[0], o.s.Divide(o.name(), "weight", weight, n.Args[1])}}
		}
		return nil
	case graph.SumProducts:
		return o.products(n.Args, weight)
	case graph.Multiply:
		if len(n.Args) == 2 && (o.shared(n.Args[0]) || o.shared(n.Args[1])) {
			return o.products(n.Args, weight)
		}
		return nil
	}
	return o.plainSums(n, weight)
}

// products opens pairs of pieces and what each piece comes to; nil where a pair is
// something else.
func (o *opening) products(args []graph.ID, weight graph.ID) []term {
	var out []term
	for i := 0; i < len(args); i += 2 {
		pieces, each := args[i], args[i+1]
		if o.counts(each) {
			pieces, each = each, pieces
		}
		if o.counts(each) || !o.counts(pieces) {
			return nil
		}
		out = append(out, term{each, o.times(pieces, weight)})
	}
	return out
}

// counts reports whether a figure is a number of pieces.
func (o *opening) counts(id graph.ID) bool { return o.g.Node(id).Unit == graph.Piece }

// shared reports whether a figure is made of others that lines can be.
func (o *opening) shared(id graph.ID) bool {
	switch o.g.Node(id).Op {
	case graph.Add, graph.Subtract, graph.SumProducts, graph.Divide:
		return !o.counts(id)
	}
	return false
}
