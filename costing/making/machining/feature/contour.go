package feature

import (
	"kerfbook/costing/graph"
)

var contour = Kind{cut: (*Cut).contour, light: true,
	shape: func(b body) (removed, area graph.ID) {
		if b.width == graph.None {
			return graph.None, graph.None
		}
		return b.s.Multiply("removed-one", "volume", b.path, b.width, b.cutDepth()), graph.None
	}}

// contour follows an outline: path = levels × rows × (outline + approach +
// clearances), approach √(ae·(D − ae)), that of a mill coming in from the side.
// Source
// `peripheral-milling-paper`; source `slab-milling-time`, source `slab-milling-removal`.
func (c *Cut) contour() {
	used, rows, both := c.mostWidth(), graph.None, c.ends()
	shared, radial := c.engagement(used)
	if c.width != graph.None {
		rows = c.passes("rows", "passes side by side", c.width, used)
		used = c.s.By("M4").Minimum("width-used", "width of cut used", used, c.width)
		shared, radial = c.s, used
	}
	l := c.levels(c.cutDepth(c.depth), c.sideDepth(used))
	split := c.load(c.remove(l.each, used, c.k.table), c.k.engaged(shared, radial, c.k.Feed), c.k.n, shared)
	s := c.s.By("M6")
	// Beyond the middle of the tool the way from first touch gets no longer, while the
	// root would fall again.
	into := s.Minimum("approach-width", "width of cut, at most half the diameter", used, s.Multiply("radius", "half the diameter", s.Half(), c.k.Diameter()))
	one := c.s.By("M3").Add("pass-path", "path of one pass", c.path, c.approach(into), both)
	c.feedTime(c.Times("path", "path", l.passes, split, rows, one), c.k.table)
	c.inAndOut(c.depth, c.Times("pass-count", "passes", l.passes, split, rows))
}

// sideDepth is the deepest pass along a side: where the width of cut is at most
// 0.15 of the diameter, the whole cutting edge, which is common practice; else as
// anywhere. A depth of cut that the feature states holds.
func (c *Cut) sideDepth(used graph.ID) graph.ID {
	most := c.mostDepth()
	if c.Def.DepthOfCutMM != nil || c.k.CuttingLengthMM == nil {
		return most
	}
	s := c.s.By("M4")
	light := s.Multiply("side-light", "widest cut that the whole edge takes", fixed(s, "light-share", "share of the diameter", "0.15", "common practice"), c.k.Diameter())
	edge := c.k.number("cutting-length", "length of the cutting edge", graph.Mm, c.k.CuttingLengthMM, "cutting_length_mm")
	return s.Choose("side-depth", "deepest pass along the side", used, graph.LessOrEqual, light, edge, most)
}
