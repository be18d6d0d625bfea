package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// turn turns a length smaller, or bores a hole larger. Passes of the deepest cut begin
// at the largest diameter, each at the surface speed of the cutting data by its own
// diameter before the cut (of a bore, after it), up to the highest speed of the
// spindle: t = Σ (length + clearance + overrun)/(f·nᵢ). With a roughness the last pass
// is a finish. Source: B3, T1 of the sheet; K07, K26, K27. The removal rate is that of
// the largest pass at its mean diameter, π·(D − ap)·ap·f·n, as in K26; where it needs
// more power than there is, the surface speed of all passes falls, so that none does.
func (c *cut) turn() {
	large, small, length := c.diameter, c.to, c.length
	if c.f.Kind == bom.Bore {
		large, small, length = c.to, c.diameter, c.depth
	}
	s := c.s.By("M4")
	n := graph.None
	c.wanted, n, c.vc = spin(c.s, c.centre, c.k.speed, large)
	wall := s.Multiply("turned-depth", "depth turned off", half(s), s.Subtract("turned-both", "difference of the diameters", large, small))
	l := c.layers(wall)
	mean := c.s.By("M11").Subtract("mean-diameter", "mean diameter of the largest pass", large, l.deepest)
	removal := c.s.By("M11").Multiply("removal", "removal rate", pi(s), mean, l.deepest, c.k.feed, n)
	split := c.load(removal, c.k.feed, n, c.s)
	if c.slower != graph.None {
		n = c.s.By("M12").Multiply("spindle-held", "spindle speed that the power drives", n, c.slower)
	}
	series := passes{cut: c, largest: large, n: n, first: large, fall: graph.None, count: c.roughing(&l, split)}
	finish := large
	switch left := or(l.fine, c.allowance); {
	case c.f.Kind == bom.Turn && l.fine != graph.None:
		finish = s.SumProducts("finish-diameter", "diameter before the finishing pass", s.One(graph.Plain), small, two(s), l.fine)
	case c.f.Kind == bom.Bore && left != graph.None:
		series.first = s.Subtract("rough-diameter", "diameter after roughing", large, s.Multiply("left-both", "left on both sides", two(s), left))
	}
	travel := c.s.By("M3").Sum("pass-path", "path of one pass", length, c.clearance, c.out())
	rough, fine := graph.None, graph.None
	if l.rough != graph.None {
		if l.step != graph.None {
			series.fall = s.Multiply("pass-fall", "fall of the diameter by a pass", two(s), l.step)
		}
		rough = c.s.By("M3").Multiply("rough-turns", "path ÷ spindle speed of the passes", travel, series.turns())
	}
	if l.fine != graph.None {
		fine = c.times("finish-turns", "path ÷ spindle speed of the finishing pass", travel, series.turn("finish", finish), split)
	}
	c.slowest(series, finish)
	c.revolve(rough, fine, c.fewer)
	c.moves(c.s, "back", "way back of one pass", c.allPasses(series.count, l, split), travel)
}

// inward faces, or parts off, from outside to inside at constant surface speed:
// t = π·(Do² − Di²)/(4000·f·vc); below the diameter 1000·vc/(π·n_max) the spindle
// turns at n_max: t = (Dk − Di)/(2·f·n_max). With a roughness the last pass of a face
// is a finish. Own arithmetic; K30.
func (c *cut) inward() {
	s := c.s.By("M3")
	outer := s.Add("start-diameter", "diameter with clearance", c.diameter, c.ends())
	inner := or(c.to, s.Zero(graph.Mm))
	n := graph.None
	c.wanted, n, c.vc = spin(c.s, c.centre, c.k.speed, c.diameter)
	around := c.s.Lookup(c.s.Key("speed-mm"))
	l := layers{rough: inner, fine: graph.None, step: graph.None, deepest: c.k.tool.width()}
	switch {
	case c.f.Kind == bom.FaceTurn && c.depth != graph.None:
		l = c.layers(c.depth)
	case c.f.Kind == bom.FaceTurn && c.roughness != graph.None:
		l = layers{rough: graph.None, fine: inner, step: graph.None, deepest: graph.None}
	case c.f.Kind == bom.FaceTurn:
		l.deepest = graph.None
	}
	split := graph.None
	if l.deepest != graph.None {
		c.whole = c.f.Kind == bom.PartOff
		removal := c.s.By("M11").Multiply("removal", "removal rate", pi(s), c.diameter, l.deepest, c.k.feed, n)
		split = c.load(removal, c.k.feed, n, c.s)
	}
	count := c.roughing(&l, split)
	one, rough, fine := c.inwardTurns(outer, inner, around), graph.None, graph.None
	if l.rough != graph.None {
		rough = c.times("rough-turns", "path ÷ spindle speed of the passes", one, count)
	}
	if l.fine != graph.None {
		fine = c.times("finish-turns", "path ÷ spindle speed of the finishing pass", one, split)
	}
	c.revolve(rough, fine, c.slow)
	c.moves(c.s, "back", "way back of one pass", c.allPasses(count, l, split), s.Multiply("back-radius", "way back of one pass", half(s), outer))
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
