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
	return s.b.nodes[id].Value
}

// Extract copies the nodes that the given ones rest on into a graph of their
// own, so that a solver can price its candidates while the whole is still being
// built. It returns the graph and the given nodes' IDs in it; ok is false where
// one of them is not there.
func (s Scope) Extract(ids ...ID) (g *Graph, in []ID, ok bool) {
	if slices.ContainsFunc(ids, func(id ID) bool { return id < 0 }) {
		return nil, nil, false
	}
	needed := map[ID]bool{}
	for open := slices.Clone(ids); len(open) > 0; {
		id := open[len(open)-1]
		open = open[:len(open)-1]
		if !needed[id] {
			needed[id] = true
			open = append(open, s.b.nodes[id].Args...)
		}
	}
	g = &Graph{byKey: make(map[string]ID, len(needed))}
	moved := make(map[ID]ID, len(needed))
	for _, id := range slices.Sorted(maps.Keys(needed)) {
		moved[id] = ID(len(g.nodes))
		g.nodes = append(g.nodes, s.b.nodes[id].moved(moved))
		g.byKey[s.b.nodes[id].Key] = moved[id]
	}
	for _, id := range ids {
		in = append(in, moved[id])
	}
	return g.look(), in, true
}

// moved gives the node with its arguments renumbered. A decision is taken as it
// stands: the extract may lack the inputs its windows name.
func (n Node) moved(to map[ID]ID) Node {
	args := make([]ID, len(n.Args))
	for i, a := range n.Args {
		args[i] = to[a]
	}
	n.Args = args
	if n.Decision != nil {
		held := *n.Decision
		held.Valid = nil
		n.Decision = &held
	}
	return n
}

// Extract copies the nodes that the given ones rest on into a graph of their own,
// as [Scope.Extract] does while building. It returns the graph and the given
// nodes' IDs in it; ok is false where one of them is not there.
func (g *Graph) Extract(ids ...ID) (cone *Graph, in []ID, ok bool) {
	return (&Builder{nodes: g.nodes, byKey: g.byKey}).Root().Extract(ids...)
}

// Renamed gives the graph with other keys. Inputs that come to share a key and a number
// are one.
func (g *Graph) Renamed(name func(n *Node) string) *Graph {
	out := &Graph{byKey: make(map[string]ID, len(g.nodes)), findings: g.findings}
	moved := make(map[ID]ID, len(g.nodes))
	for id := range ID(len(g.nodes)) {
		n := g.nodes[id].moved(moved)
		n.Key = name(&n)
		if there, taken := out.byKey[n.Key]; taken {
			if m := &out.nodes[there]; m.Kind == Input && m.Unit == n.Unit && m.Value.Equal(n.Value) {
				moved[id] = there
				continue
			}
			n.Key = g.nodes[id].Key
		}
		moved[id] = ID(len(out.nodes))
		out.nodes = append(out.nodes, n)
		out.byKey[n.Key] = moved[id]
	}
	return out.look()
}
