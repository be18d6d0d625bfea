package estimate

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
)

// massOf gives the mass of a finished part, in g/piece: the one entered, or that
// of its blank less what its features take away. None where a machining operation
// is described by entered minutes, from which nobody knows what it takes away.
func massOf(p *pool, st blank.Stock) graph.ID {
	const name, label = "mass", "mass of the finished part"
	switch {
	case p.def.MassG != nil:
		return p.scope.Shared(name, label, graph.Gram.Per(graph.Piece), *p.def.MassG, "mass_g")
	case !byFeatures(p.def.Routing):
		return graph.None
	}
	s := p.scope.By("S4")
	if id := s.Known(name); id != graph.None {
		return id
	}
	var removed []graph.ID
	for _, step := range p.flow.Steps {
		removed = append(removed, step.Cut.Removed)
	}
	all := s.Sum("removed", "volume taken away by all features", removed...)
	if all == graph.None {
		return graph.None
	}
	chips := s.Multiply("removed-mass", "mass taken away by all features", all, st.Density)
	mass := s.Subtract(name, label, blank.Mass(p.scope, p.def.Blank, st), chips)
	s.Check("mass-left", "the features leave something of the blank", mass, graph.Greater, s.Zero(graph.Gram.Per(graph.Piece)))
	return mass
}

// byFeatures reports whether every machining operation is described by features.
func byFeatures(routing []bom.Operation) bool {
	machined := func(o bom.Operation) bool { return o.Kind == bom.Machining }
	return slices.ContainsFunc(routing, machined) &&
		!slices.ContainsFunc(routing, func(o bom.Operation) bool { return machined(o) && len(o.Features) == 0 })
}
