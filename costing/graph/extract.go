package graph

import (
	"maps"
	"slices"

	"github.com/shopspring/decimal"
)

// Likely gives the typed value of a constant or the likely value of a range
// built before; zero for any other node.
func (s Scope) Likely(id ID) decimal.Decimal {
	if id < 0 {
		return decimal.Decimal{}
	}
	return s.b.at(id).value
}

// Extract copies the nodes that the given ones rest on, inputs of decisions included,
// into a graph of their own, so that a solver can price its candidates while the whole
// is still being built. It returns the graph and the given nodes' IDs in it; ok is false where
// one of them is not there.
func (s Scope) Extract(ids ...ID) (g *Graph, in []ID, ok bool) { return s.b.extract(ids) }

// Extract copies the nodes that the given ones rest on into a graph of their own,
// as [Scope.Extract] does while building. It returns the graph and the given
// nodes' IDs in it; ok is false where one of them is not there.
func (g *Graph) Extract(ids ...ID) (cone *Graph, in []ID, ok bool) { return g.extract(ids) }

func (t *table) extract(ids []ID) (g *Graph, in []ID, ok bool) {
	if slices.ContainsFunc(ids, func(id ID) bool { return id < 0 }) {
		return nil, nil, false
	}
	needed := map[ID]bool{}
	for open := slices.Clone(ids); len(open) > 0; {
		id := open[len(open)-1]
		open = open[:len(open)-1]
		if !needed[id] {
			needed[id] = true
			open = append(open, t.operation(t.at(id)).RestsOn()...)
		}
	}
	g = &Graph{table: newTable(len(needed))}
	moved := make(map[ID]ID, len(needed))
	for _, id := range slices.Sorted(maps.Keys(needed)) {
		s := t.at(id)
		moved[id] = g.take(*s, t.argsOf(s), moved)
	}
	for _, id := range ids {
		in = append(in, moved[id])
	}
	return g.look(), in, true
}

// take appends a node of another table with what it rests on renumbered.
func (t *table) take(s slot, args []ID, moved map[ID]ID) ID {
	own := make([]ID, len(args))
	for i, a := range args {
		own[i] = moved[a]
	}
	if s.rare != nil && s.rare.decision != nil {
		held, decision := *s.rare, *s.rare.decision
		decision.Valid = slices.Clone(decision.Valid)
		for i := range decision.Valid {
			decision.Valid[i].Input = moved[decision.Valid[i].Input]
		}
		held.decision = &decision
		s.rare = &held
	}
	s.hash, _ = hashOf(s.prefix, s.name)
	return t.push(s, own)
}

// RestsOn are the figures an operation looks at: its arguments, or the inputs that a
// decision holds for.
func (o Operation) RestsOn() []ID {
	if o.Decision == nil {
		return o.Args
	}
	out := make([]ID, len(o.Decision.Valid))
	for i, w := range o.Decision.Valid {
		out[i] = w.Input
	}
	return out
}

// Reached marks some figures and all that they rest on. on gives what of a figure is gone
// on to, from the last figure to the first.
func (g *Graph) Reached(figures []ID, on func(ID) []ID) []bool {
	reached := make([]bool, g.Len())
	for _, id := range figures {
		if id != None {
			reached[id] = true
		}
	}
	for id := ID(g.Len()) - 1; id >= 0; id-- { // a node has a higher id than all it rests on
		if reached[id] {
			for _, a := range on(id) {
				reached[a] = true
			}
		}
	}
	return reached
}

// Renamed gives the graph with other keys. Inputs that come to share a key and a number
// are one.
func (g *Graph) Renamed(name func(n *Node) string) *Graph {
	out := &Graph{table: newTable(g.count), findings: g.findings}
	moved := make(map[ID]ID, g.count)
	for id := range ID(g.count) {
		s, n := *g.at(id), g.node(id)
		args := n.Args
		s.prefix, s.name = "", name(&n)
		if there := out.lookup("", s.name); there != None {
			if m := out.at(there); m.kind == Input && *m.unit == *s.unit && m.value.Equal(s.value) {
				moved[id] = there
				continue
			}
			s.prefix, s.name = "", n.Key
		}
		moved[id] = out.take(s, args, moved)
	}
	return out.look()
}
