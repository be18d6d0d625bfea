package feature

import (
	"kerfbook/costing/graph"
)

var chamfer = Kind{cut: (*Cut).chamfer,
	shape: func(b body) (removed, area graph.ID) {
		if b.width == graph.None {
			return graph.None, graph.None
		}
		// At 45°, so that both legs are the width.
		return b.s.Multiply("removed-one", "volume", b.path, b.width, b.width, b.s.Half()), graph.None
	}}

// chamfer follows an edge once.
func (c *Cut) chamfer() {
	c.feedTime(c.s.By("M3").Add("path", "path", c.path, c.ends()), c.k.table)
	c.inAndOut(graph.None, graph.None)
}
