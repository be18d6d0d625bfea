package feature

import (
	"kerfbook/costing/graph"
)

var face = Kind{cut: (*Cut).face, shape: body.block}

// face clears an open face in parallel passes that begin and end clear of it:
// path = levels × rows × (length + D + clearances), rows = ceil(width/ae), and one
// of a cutter at least as wide as the face. Source `milling-formulas`.
func (c *Cut) face() {
	l, both := c.levels(c.cutDepth(c.depth), c.mostDepth()), c.ends()
	wide := c.faceWidth()
	rows := c.passes("rows", "passes side by side", c.width, wide)
	used := c.s.By("M4").Minimum("width-used", "width of cut used", wide, c.width)
	split := c.load(c.remove(l.each, used, c.k.table), c.k.engaged(c.s, used, c.k.Feed), c.k.n, c.s)
	// The whole diameter: half of it to come in from clear of the edge, half to leave.
	one := c.s.By("M3").Add("pass-path", "path of one pass", c.length, c.k.Diameter(), both)
	c.feedTime(c.Times("path", "path", l.passes, split, rows, one), c.k.table)
	c.inAndOut(c.depth, c.Times("level-passes", "levels", l.passes, split))
}

// faceWidth is the widest pass over a face: the whole face where the cutter is as
// wide, unless the feature states a width of cut. Source `tool-diameter`:
// several passes are for a face wider than the cutter.
func (c *Cut) faceWidth() graph.ID {
	wide := c.mostWidth()
	if c.Def.WidthOfCutMM != nil {
		return wide
	}
	return c.s.By("M4").Choose("face-width", "widest pass over the face", c.k.Diameter(), graph.GreaterOrEqual, c.width, c.width, wide)
}

// block is a whole face taken down: the sides lose its height.
func (b body) block() (removed, area graph.ID) {
	s, depth := b.s, b.cutDepth()
	around := s.Add("around", "half the way round the face", b.length, b.width)
	lost := s.Multiply("sides-lost", "surface of the sides lost", s.Two(), around, depth)
	return s.Multiply("removed-one", "volume", b.length, b.width, depth), s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), lost)
}
