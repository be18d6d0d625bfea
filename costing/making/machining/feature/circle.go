package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
)

var (
	circularPocket = Kind{cut: (*Cut).circle, shape: body.disc, size: smaller}
	counterbore    = Kind{cut: (*Cut).counterbore, shape: body.disc, size: notLarger}
)

func smaller(f *Feature) (room graph.ID, compare graph.Comparison) { return f.diameter, graph.Less }

func notLarger(f *Feature) (room graph.ID, compare graph.Comparison) {
	return f.diameter, graph.LessOrEqual
}

// circle mills a round pocket, or a bore by helical interpolation (M20): down a helix of
// 3° to each level, then n rings outward, no further apart than the width of cut. The
// centre of the tool runs on circles whose radii rise to R = (D − d)/2 by equal steps, 2π
// times their sum n·(R − w) + w·(n + 1)/2 a level, w what comes off the wall: all of R
// where no hole is there. A bore that one ring clears is one helix and one flat turn. The
// feed of the cutting data is that of the edge at the wall, and the centre is slower by
// (D − d)/D: source `circular-arc-feed`, source `helical-bore-feed`. Own arithmetic for
// the path.
func (c *Cut) circle() {
	s := c.s.By("M20")
	one := s.One(graph.Plain)
	room := s.Subtract("circle-diameter", "diameter of the way of the centre", c.diameter, c.k.Diameter())
	radius := s.Multiply("circle-radius", "radius of the way of the centre", s.Half(), room)
	table := s.Multiply("table-feed-centre", "feed of the centre of the tool", c.k.table, s.Divide("centre-share", "way of the centre ÷ way of the edge", room, c.diameter))
	wall, most := radius, graph.None
	if c.width == graph.None {
		most = c.mostDepth()
	} else {
		// No more than all of it, whatever width is tried out.
		wall, most = s.Minimum("wall", "what comes off the wall", c.width, radius), c.sideDepth(c.width)
		c.stiff = graph.None // a light cut takes the whole edge, so that no reach limits it
	}
	rings := c.passes("rings", "rings", wall, c.mostWidth())
	l := c.levels(c.depth, most)
	step := s.Divide("ring-step", "width of cut of a ring", wall, rings)
	split := c.load(c.remove(l.each, step, table), c.k.engaged(c.s, step, c.k.Feed), c.k.n, c.s)
	inner := s.Multiply("inner-radii", "rings × the radius that is there", rings, s.Subtract("inner-radius", "radius that is there", radius, wall))
	radii := s.Add("radii", "radii of the rings, added up", inner, s.Multiply("outer-radii", "what they grow by", s.Half(), wall, s.Add("rings-more", "rings and one", rings, one)))
	turns := c.Times("level-passes", "levels", l.passes, split)
	if c.width == graph.None && turns != graph.None {
		turns = s.Choose("levels-cleared", "levels that rings clear: one where the helix alone does", rings, graph.LessOrEqual, one, one, turns)
	}
	path := c.Times("rings-path", "path of the rings", s.Two(), s.Pi(), turns, radii)
	if c.width == graph.None {
		path = s.Add("path", "path, with the helix", path, s.Multiply("entry-path", "helix into the depth", c.depth, rampFactor(s)))
	} else {
		path = s.Sum("path", "path", path)
	}
	c.feedTime(path, table)
	c.inAndOut(c.depth, turns)
}

// counterbore sinks a flat tool of the diameter in, at 0.8 of the speed and feed of a
// drill, source `counterbore-guide`, or circles with a smaller mill.
func (c *Cut) counterbore() {
	if c.k.Kind != bom.DrillTool {
		c.circle()
		return
	}
	s := c.s.By("M7")
	share := fixed(s, "counterbore-share", "speed and feed ÷ those of a drill", "0.8", reference.Cite("`counterbore-guide`: 80 to 85 %"))
	c.VC = s.Multiply("speed-counterbore", "cutting speed of the counterbore", share, c.k.VC)
	c.Wanted = s.Multiply("spindle-counterbore", "spindle speed wanted of the counterbore", share, c.k.Wanted)
	path := s.Add("path", "travel", c.clearance, c.depth)
	c.feedTime(path, s.Multiply("table-feed-counterbore", "feed of the counterbore", share, share, c.k.table))
	c.moves(c.s, "back", "way back", graph.None, path)
}

// disc is a round hole: whole, or what is wider than one that is there.
func (b body) disc() (removed, area graph.ID) {
	s, small := b.s, b.to
	if b.width != graph.None {
		small = s.Subtract("hole-there", "hole that is there", b.diameter, s.Multiply("width-both", "width on both sides", s.Two(), b.width))
	}
	if small == graph.None {
		return b.hole()
	}
	ring := b.ring(b.diameter, small)
	removed, area = s.Multiply("removed-one", "volume", ring, b.depth), b.wallChange(b.diameter, small, b.depth)
	if b.Def.Through {
		area = s.Subtract("area-one", "surface gained", area, s.Multiply("openings", "openings", s.Two(), ring))
	}
	return removed, area
}
