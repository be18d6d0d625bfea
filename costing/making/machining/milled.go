package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// level is a depth cut in equal passes.
type level struct {
	passes graph.ID // None for one
	each   graph.ID // mm
	depth  graph.ID // mm in all
}

func (c *cut) levels(depth, most graph.ID) level {
	n := c.passes("levels", "passes in depth", depth, most)
	return level{n, c.eachPass(depth, n), depth}
}

// remove writes the removal rate of a mill: depth × width × table feed.
func (c *cut) remove(each, wide, table graph.ID) graph.ID {
	c.removal = c.s.By("M11").Multiply("removal", "removal rate", each, wide, table)
	return c.removal
}

// face clears an open face in parallel passes that begin and end clear of it:
// path = levels × rows × (length + D + clearances), rows = ceil(width/ae), and one
// of a cutter at least as wide as the face. Source: M4; K K08.
func (c *cut) face() {
	l, both := c.levels(c.cutDepth(c.depth), c.mostDepth()), c.ends()
	wide := c.faceWidth()
	rows := c.passes("rows", "passes side by side", c.dims.width, wide)
	used := c.s.By("M4").Minimum("width-used", "width of cut used", wide, c.dims.width)
	split := c.load(c.remove(l.each, used, c.k.table), c.k.engaged(c.s, used, c.k.feed), c.k.n, c.s)
	one := c.s.By("M3").Add("pass-path", "path of one pass", c.length, c.k.diameter(), both)
	c.feedTime(c.times("path", "path", l.passes, split, rows, one), c.k.table)
	c.inAndOut(c.depth, c.times("level-passes", "levels", l.passes, split))
}

// faceWidth is the widest pass over a face: the whole face where the cutter is as
// wide, unless the feature states a width of cut. Source: tool-maker course page
// "Selecting the tool diameter", mmc-carbide.com/permanent/courses/73: several
// passes are for a face wider than the cutter.
func (c *cut) faceWidth() graph.ID {
	wide := c.mostWidth()
	if c.f.WidthOfCutMM != nil {
		return wide
	}
	return c.s.By("M4").Choose("face-width", "widest pass over the face", c.k.diameter(), graph.GreaterOrEqual, c.dims.width, c.dims.width, wide)
}

// contour follows an outline: path = levels × rows × (outline + approach +
// clearances), approach √(ae·(D − ae)), that of a mill coming in from the side.
// Source: sheet section 1.5; K19, K23, K24.
func (c *cut) contour() {
	used, rows, both := c.mostWidth(), graph.None, c.ends()
	shared, radial := c.engagement(used)
	if c.dims.width != graph.None {
		rows = c.passes("rows", "passes side by side", c.dims.width, used)
		used = c.s.By("M4").Minimum("width-used", "width of cut used", used, c.dims.width)
		shared, radial = c.s, used
	}
	l := c.levels(c.cutDepth(c.depth), c.sideDepth(used))
	split := c.load(c.remove(l.each, used, c.k.table), c.k.engaged(shared, radial, c.k.feed), c.k.n, shared)
	s := c.s.By("M6")
	into := s.Minimum("approach-width", "width of cut, at most half the diameter", used, s.Multiply("radius", "half the diameter", half(s), c.k.diameter()))
	one := c.s.By("M3").Add("pass-path", "path of one pass", c.path, c.approach(into), both)
	c.feedTime(c.times("path", "path", l.passes, split, rows, one), c.k.table)
	c.inAndOut(c.depth, c.times("pass-count", "passes", l.passes, split, rows))
}

// sideDepth is the deepest pass along a side: where the width of cut is at most
// 0.15 of the diameter, the whole cutting edge, which is common practice; else as
// anywhere. A depth of cut that the feature states holds.
func (c *cut) sideDepth(used graph.ID) graph.ID {
	most := c.mostDepth()
	if c.f.DepthOfCutMM != nil || c.k.CuttingLengthMM == nil {
		return most
	}
	s := c.s.By("M4")
	light := s.Multiply("side-light", "widest cut that the whole edge takes", fixed(s, "light-share", "share of the diameter", "0.15", "common practice"), c.k.diameter())
	edge := c.k.number("cutting-length", "length of the cutting edge", graph.Mm, c.k.CuttingLengthMM, "cutting_length_mm")
	return s.Choose("side-depth", "deepest pass along the side", used, graph.LessOrEqual, light, edge, most)
}

// approach is the way from first touch to full width: √(x·(D − x)), x the radial
// width or depth (M6).
func (c *cut) approach(x graph.ID) graph.ID {
	s := c.s.By("M6")
	rest := s.Subtract("approach-rest", "diameter less that", c.k.diameter(), x)
	return s.SquareRoot("approach", "approach", s.Multiply("approach-square", "approach, squared", x, rest))
}

// engagement gives where the mean chip of a width of cut is written: once for all
// features that take it from the cutting data. A width of the whole diameter is a
// full slot, given as None.
func (c *cut) engagement(wide graph.ID) (graph.Scope, graph.ID) {
	switch {
	case c.f.WidthOfCutMM != nil:
		return c.s, wide
	case c.k.data.width == graph.None:
		return c.k.s, graph.None
	}
	return c.k.s, wide
}

// pocket clears a closed pocket row by row, then follows its wall: rows =
// ceil((W − D)/ae) + 1; path = levels × (rows·(L − D) + (W − D) + 2·((L − D) +
// (W − D))), and a ramp of 3° into the depth. Source: sheet section 1.6; K34.
func (c *cut) pocket() {
	s := c.s.By("M4")
	l, wide := c.levels(c.cutDepth(c.depth), c.mostDepth()), c.mostWidth()
	along := s.Subtract("room-length", "length less the diameter", c.length, c.k.diameter())
	across := s.Subtract("room-width", "width less the diameter", c.dims.width, c.k.diameter())
	rows := s.Add("rows", "rows", s.Whole("rows-further", "further rows", s.Divide("rows-exact", "further rows before rounding", across, wide)), s.One(graph.Plain))
	shared, radial := c.engagement(wide)
	split := c.load(c.remove(l.each, wide, c.k.table), c.k.engaged(shared, radial, c.k.feed), c.k.n, shared)
	s = c.s.By("M3")
	one := s.SumProducts("level-path", "path of one level: rows and wall", rows, along, s.One(graph.Plain), across, two(s), along, two(s), across)
	c.feedTime(c.times("path", "path", l.passes, split, one), c.k.table)
	ramp := s.Multiply("entry-path", "ramp into the depth", l.depth, rampFactor(s))
	c.minutes = s.Add("time", "cutting time of one, with its entry", c.minutes, s.Divide("entry-time", "time of the entry", ramp, c.k.table))
	c.inAndOut(c.depth, c.times("level-passes", "levels", l.passes, split))
}

// slotted cuts a slot, or the slots of an array, open at both ends: path = slots ×
// levels × side × (length + approach + clearances). A saw of width b takes
// ceil(slot/b) passes beside one another and approaches by √(ap·(D − ap)); a mill
// takes ceil((slot − D)/ae) + 1 and approaches by its diameter. Source: M5, M6; K37.
func (c *cut) slotted() {
	wide, slots := c.dims.width, graph.None
	if c.f.Kind == bom.SlotArray {
		wide, slots = c.slot, c.slots
	}
	l, both := c.levels(c.cutDepth(c.depth), c.mostDepth()), c.ends()
	var side, approach, split graph.ID
	if c.k.Kind == bom.SlittingSaw {
		side = c.passes("side", "passes beside one another", wide, c.k.tool.width())
		approach = c.approach(l.each)
		split = c.load(c.remove(l.each, c.k.tool.width(), c.k.table), c.k.engaged(c.s, l.each, c.k.feed), c.k.n, c.s)
	} else {
		side, approach = c.milledSides(wide), c.k.diameter()
		split = c.load(c.remove(l.each, c.k.diameter(), c.k.table), c.k.engaged(c.k.s, graph.None, c.k.feed), c.k.n, c.k.s)
	}
	s := c.s.By("M5")
	one := s.Add("travel", "travel of one pass", c.length, approach, both)
	count := c.times("passes", "passes", slots, l.passes, split, side)
	c.feedTime(c.times("path", "path", count, one), c.k.table)
	c.moves(c.s, "back", "way back of one pass", count, one)
	c.moves(c.feature, "lift", "way out of the slot, or into it", c.times("lifts", "ways out and in", two(s), count), c.depth)
	if slots != graph.None {
		c.moves(c.feature, "across", "way across the array", graph.None, c.dims.width)
	}
}

func (c *cut) milledSides(wide graph.ID) graph.ID {
	s := c.s.By("M5")
	spare := s.Subtract("side-spare", "slot less the diameter", wide, c.k.diameter())
	further := s.Whole("side-further", "further passes", s.Divide("side-exact", "further passes before rounding", spare, c.mostWidth()))
	return s.Add("side", "passes beside one another", further, s.One(graph.Plain))
}

// chamfer follows an edge once.
func (c *cut) chamfer() {
	c.feedTime(c.s.By("M3").Add("path", "path", c.path, c.ends()), c.k.table)
	c.inAndOut(graph.None, graph.None)
}

// engrave follows its lines level by level, and in passes beside one another where
// they are wider than the tool cuts, plunging into each at a third of the
// feed, which is common practice; K39.
func (c *cut) engrave() {
	l := c.levels(c.cutDepth(c.depth), c.mostDepth())
	s := c.s.By("M3")
	third := fixed(s, "three", "three", "3", "definition")
	plunge := s.SumProducts("plunge-path", "plunge at a third of the feed, as path", third, c.clearance, third, l.each)
	one := s.Add("pass-path", "path of one pass", c.path, plunge)
	c.feedTime(c.times("path", "path", l.passes, c.sides(), one), c.k.table)
	c.inAndOut(c.depth, graph.None)
}
