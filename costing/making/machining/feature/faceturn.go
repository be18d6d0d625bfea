package feature

import "kerfbook/costing/graph"

var faceTurn = Kind{cut: func(c *Cut) { c.inward(c.faceLayers) }, shape: body.faced, rough: true}

// faceLayers are what is faced off: of a face without a depth one pass, a finish
// where a roughness is asked, whose removal is not known. There inner only marks
// that a pass exists: without a step no depth is divided.
func (c *Cut) faceLayers(inner graph.ID) layers {
	switch {
	case c.depth != graph.None:
		return c.layers(c.depth)
	case c.roughness != graph.None:
		return layers{rough: graph.None, fine: inner, step: graph.None, deepest: graph.None}
	}
	return layers{rough: inner, fine: graph.None, step: graph.None, deepest: graph.None}
}

// faced is a ring taken off a face: its side is lost.
func (b body) faced() (removed, area graph.ID) {
	s, small, long := b.s, b.cutTo(), b.depth
	if long == graph.None {
		return graph.None, graph.None
	}
	if b.proud() != graph.None {
		long = b.cutDepth()
	}
	removed = s.Multiply("removed-one", "volume", b.ring(b.diameter, small), long)
	return removed, s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), s.Multiply("side-lost", "surface of the side lost", s.Pi(), b.diameter, long))
}
