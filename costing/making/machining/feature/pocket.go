package feature

import (
	"kerfbook/costing/graph"
)

var pocket = Kind{cut: (*Cut).pocket, shape: body.pocket, size: within}

// within wants a tool no larger than the width.
func within(f *Feature) (room graph.ID, compare graph.Comparison) { return f.width, graph.LessOrEqual }

// pocket clears a closed pocket row by row, then follows its wall: rows =
// ceil((W − D)/ae) + 1; path = levels × (rows·(L − D) + (W − D) + 2·((L − D) +
// (W − D))), and a ramp of 3° into the depth. Own arithmetic.
func (c *Cut) pocket() {
	s := c.s.By("M4")
	l, wide := c.levels(c.cutDepth(c.depth), c.mostDepth()), c.mostWidth()
	along := s.Subtract("room-length", "length less the diameter", c.length, c.k.Diameter())
	across := s.Subtract("room-width", "width less the diameter", c.width, c.k.Diameter())
	rows := s.Add("rows", "rows", s.Whole("rows-further", "further rows", s.Divide("rows-exact", "further rows before rounding", across, wide)), s.One(graph.Plain))
	shared, radial := c.engagement(wide)
	split := c.load(c.remove(l.each, wide, c.k.table), c.k.engaged(shared, radial, c.k.Feed), c.k.n, shared)
	s = c.s.By("M3")
	// The rows, once across between them, and once round the wall, since rows leave
	// steps there.
	one := s.SumProducts("level-path", "path of one level: rows and wall", rows, along, s.One(graph.Plain), across, s.Two(), along, s.Two(), across)
	c.feedTime(c.Times("path", "path", l.passes, split, one), c.k.table)
	ramp := s.Multiply("entry-path", "ramp into the depth", l.depth, rampFactor(s))
	c.Minutes = s.Add("time", "cutting time of one, with its entry", c.Minutes, s.Divide("entry-time", "time of the entry", ramp, c.k.table))
	c.inAndOut(c.depth, c.Times("level-passes", "levels", l.passes, split))
}

// pocket has rounded corners, of the radius stated or of the tool: V = (L·W −
// (4 − π)·R²)·H; its floor stands for the top lost, its wall is gained.
func (b body) pocket() (removed, area graph.ID) {
	s, depth := b.s, b.cutDepth()
	r := b.corner
	if r == graph.None {
		r = s.Multiply("corner", "radius of the tool", s.Half(), b.of(b.Scope.By("M14"), "corner-diameter", "diameter of the tool", func(c *Cut) graph.ID { return c.k.Diameter() }))
	}
	rest := s.Subtract("corner-rest", "4 − π", s.Four(), s.Pi())
	floor := s.Subtract("floor", "floor", s.Multiply("floor-square", "length × width", b.length, b.width), s.Multiply("corners", "corners left", rest, r, r))
	twice := s.Multiply("corner-turn", "twice (4 − π) × radius", s.Two(), rest, r)
	around := s.Subtract("around", "way round the wall", s.SumProducts("around-square", "way round, with corners", s.Two(), b.length, s.Two(), b.width), twice)
	removed, area = s.Multiply("removed-one", "volume", floor, depth), s.Multiply("area-one", "surface gained", around, depth)
	rate := b.of(b.Scope.By("M14"), "removal", "removal rate", func(c *Cut) graph.ID { return c.removal })
	// Shown only, for holding the time against: no path can be faster than the volume at
	// the full removal rate.
	b.Scope.By("M11").Divide("least-time", "least cutting time of one at this removal rate", removed, rate)
	return removed, area
}
