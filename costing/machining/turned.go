package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// turn turns a length smaller, or bores a hole larger, in passes of equal depth:
// t = passes × (length + clearance + overrun)/(f·n). The speed of the spindle is
// that of the larger diameter. With a roughness the last pass has its feed. Source:
// B3, T1 of the sheet; K07, K26, K27. The removal rate is that of the first pass
// at its mean diameter, π·(D − ap)·ap·f·n, as in K26.
func (c *cut) turn() {
	large, small, length := c.diameter, c.to, c.length
	if c.f.Kind == bom.Bore {
		large, small, length = c.to, c.diameter, c.depth
	}
	s := c.s.By("M4")
	n := graph.None
	c.wanted, n, c.vc = spin(c.s, c.centre, c.k.speed, large)
	wall := s.Multiply("turned-depth", "depth turned off", half(s), s.Subtract("turned-both", "difference of the diameters", large, small))
	l := c.levels(c.cutDepth(wall), c.mostDepth())
	mean := c.s.By("M11").Subtract("mean-diameter", "mean diameter of the first pass", large, l.each)
	removal := c.s.By("M11").Multiply("removal", "removal rate", pi(s), mean, l.each, c.k.feed, n)
	split := c.load(removal, c.k.feed, n, c.s)
	travel := c.s.By("M3").Sum("pass-path", "path of one pass", length, c.clearance, c.out())
	passes := c.times("passes", "passes", l.passes, split)
	c.revolve(c.s.By("M3").Divide("pass-turns", "path ÷ spindle speed of one pass", travel, n), passes)
	c.moves(c.s, "back", "way back of one pass", passes, travel)
}

// revolve writes the time of passes from the time × feed of one: all at the feed
// of the cutting data, or the last at that of the roughness.
func (c *cut) revolve(one, passes graph.ID) {
	s := c.s.By("M3")
	feed := c.k.feed
	if c.slow != graph.None {
		feed = s.By("M12").Multiply("feed-held", "feed that the spindle can drive", feed, c.slow)
	}
	rough := c.roughFeed()
	if c.roughness == graph.None || rough == graph.None {
		c.reached(c.k.feed)
		c.minutes = s.Divide("path-time", "cutting time of one", c.times("pass-turns-all", "path ÷ spindle speed of all passes", one, passes), feed)
		return
	}
	fine := s.By("M9").Minimum("feed-finishing", "feed for the roughness", c.k.feed, rough)
	c.reached(fine)
	last := s.Divide("finish-time", "time of the finishing pass", one, fine)
	if passes == graph.None {
		c.minutes = last
		return
	}
	before := s.Subtract("passes-before", "passes before the finishing pass", passes, s.One(graph.Plain))
	first := s.Divide("rough-time", "time of the passes before", s.Multiply("rough-turns", "path ÷ spindle speed of the passes before", before, one), feed)
	c.minutes = s.Add("path-time", "cutting time of one", first, last)
}

// inward faces, or parts off, from outside to inside at constant surface speed:
// t = π·(Do² − Di²)/(4000·f·vc); below the diameter 1000·vc/(π·n_max) the spindle
// turns at n_max: t = (Dk − Di)/(2·f·n_max). Own arithmetic; K30.
func (c *cut) inward() {
	s := c.s.By("M3")
	outer := s.Add("start-diameter", "diameter with clearance", c.diameter, c.ends())
	inner := or(c.to, s.Zero(graph.Mm))
	n := graph.None
	c.wanted, n, c.vc = spin(c.s, c.centre, c.k.speed, c.diameter)
	around := c.s.Lookup(c.s.Key("speed-mm"))
	l := level{graph.None, c.k.tool.width(), graph.None}
	if c.f.Kind == bom.FaceTurn {
		l.each = c.depth
		if c.depth != graph.None {
			l = c.levels(c.cutDepth(c.depth), c.mostDepth())
		}
	}
	split := graph.None
	if l.each != graph.None {
		c.whole = c.f.Kind == bom.PartOff
		removal := c.s.By("M11").Multiply("removal", "removal rate", pi(s), c.diameter, l.each, c.k.feed, n)
		split = c.load(removal, c.k.feed, n, c.s)
	}
	passes := c.times("passes", "passes", l.passes, split)
	c.revolve(c.inwardTurns(outer, inner, around), passes)
	c.moves(c.s, "back", "way back of one pass", passes, s.Multiply("back-radius", "way back of one pass", half(s), outer))
}

// inwardTurns is the time × feed of one pass, in mm·min.
func (c *cut) inwardTurns(outer, inner, speed graph.ID) graph.ID {
	s := c.s.By("M3")
	change, slow := inner, graph.None
	if c.centre.spindleMax != graph.None {
		s := s.By("M1")
		limit := s.Divide("limit-diameter", "diameter below which the spindle turns at its highest speed",
			s.Divide("limit-around", "circumference at that diameter", speed, c.centre.spindleMax), pi(s))
		change = s.Minimum("change-diameter", "diameter of the change, within the face", s.Maximum("limit-inside", "not inside the face", limit, inner), outer)
		slow = s.Divide("inner-turns", "path ÷ spindle speed inside", s.Multiply("inner-half", "half the difference of the diameters inside", half(s), s.Subtract("inner-both", "difference of the diameters inside", change, inner)), c.centre.spindleMax)
	}
	area := s.Subtract("swept-squares", "difference of the squares of the diameters", s.Multiply("outer-square", "outer diameter, squared", outer, outer), s.Multiply("change-square", "diameter of the change, squared", change, change))
	ring := s.Multiply("swept-ring", "π × that", pi(s), area)
	outside := s.Divide("outer-turns", "path ÷ spindle speed at constant surface speed", ring, s.Multiply("four-speeds", "four times the cutting speed", four(s), speed))
	return s.Total("pass-turns", "path ÷ spindle speed of one pass", outside, slow)
}
