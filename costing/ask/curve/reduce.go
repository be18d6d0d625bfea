package curve

import (
	"slices"

	"kerfbook/costing/graph"
)

// reduced is what some figures of a graph rest on, as a graph of its own: a sweep
// evaluates it some thousand times, and an estimate holds much more.
type reduced struct {
	g    *graph.Graph
	to   map[graph.ID]graph.ID // from the whole graph
	from []graph.ID            // back
}

// reduce copies what the roots rest on, the inputs that decisions hold for
// included.
func reduce(g *graph.Graph, roots []graph.ID) (*reduced, error) {
	needed := make([]bool, g.Len())
	for _, id := range roots {
		needed[id] = true
	}
	r := &reduced{to: map[graph.ID]graph.ID{}}
	for id := graph.ID(g.Len()) - 1; id >= 0; id-- {
		if needed[id] {
			for _, a := range restsOn(g.Node(id)) {
				needed[a] = true
			}
		}
	}
	var nodes []graph.Node
	for id := range graph.ID(g.Len()) {
		if needed[id] {
			r.to[id] = graph.ID(len(nodes))
			r.from = append(r.from, id)
			nodes = append(nodes, renumbered(*g.Node(id), func(a graph.ID) graph.ID { return r.to[a] }))
		}
	}
	var err error
	r.g, err = graph.Restore(nodes, nil)
	return r, err
}

// restsOn are the arguments of a node, and the inputs its decision holds for.
func restsOn(n *graph.Node) []graph.ID {
	if n.Decision == nil {
		return n.Args
	}
	out := slices.Clone(n.Args)
	for _, w := range n.Decision.Valid {
		out = append(out, w.Input)
	}
	return out
}

// renumbered gives a copy of a node whose arguments have other IDs.
func renumbered(n graph.Node, to func(graph.ID) graph.ID) graph.Node {
	n.Args = slices.Clone(n.Args)
	for i, a := range n.Args {
		n.Args[i] = to(a)
	}
	if n.Decision != nil {
		how := *n.Decision
		how.Valid = slices.Clone(how.Valid)
		for i := range how.Valid {
			how.Valid[i].Input = to(how.Valid[i].Input)
		}
		n.Decision = &how
	}
	return n
}
