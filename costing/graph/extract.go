package graph

import "github.com/shopspring/decimal"

// Likely gives the typed value of a constant or the likely value of a range
// built before; zero for any other node.
func (s Scope) Likely(id ID) decimal.Decimal {
	if id == None {
		return decimal.Decimal{}
	}
	return s.b.nodes[id].Value
}

// Extract copies the nodes that the given ones rest on into a graph of their
// own, so that a solver can price its candidates while the whole is still being
// built. It returns the graph and the given nodes' IDs in it; ok is false where
// one of them is None.
func (s Scope) Extract(ids ...ID) (g *Graph, in []ID, ok bool) {
	needed := map[ID]bool{}
	top := None
	for _, id := range ids {
		if id == None {
			return nil, nil, false
		}
		needed[id] = true
		top = max(top, id)
	}
	for id := top; id >= 0; id-- {
		if needed[id] {
			for _, a := range s.b.nodes[id].Args {
				needed[a] = true
			}
		}
	}
	g = &Graph{byKey: make(map[string]ID, len(needed))}
	moved := make(map[ID]ID, len(needed))
	for id := ID(0); id <= top; id++ {
		if needed[id] {
			moved[id] = ID(len(g.nodes))
			g.nodes = append(g.nodes, s.b.nodes[id].moved(moved))
			g.byKey[s.b.nodes[id].Key] = moved[id]
		}
	}
	for _, id := range ids {
		in = append(in, moved[id])
	}
	return g, in, true
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
