package feature

import "kerfbook/costing/graph"

var drill = Kind{cut: (*Cut).drill, shape: body.hole, size: itsOwn}

// itsOwn wants a tool of the diameter.
func itsOwn(f *Feature) (room graph.ID, compare graph.Comparison) { return f.diameter, graph.Equal }

// drill is M7: travel = clearance + full-diameter depth + point (+ overrun if
// through); back at the rapid rate, and out and in again for each peck. Source
// `machining-fundamentals`, source `peripheral-milling-paper`, source `drilling-item`.
// The misprint of source `drilling-time-note` is not followed.
func (c *Cut) drill() {
	s := c.s.By("M7")
	tip := s.Add("tip-depth", "depth of the tip", c.depth, c.k.pointLength())
	path := s.Sum("path", "travel", c.clearance, tip, c.out())
	// A hole is drilled to its width at once: there is no pass to split.
	c.whole = true
	c.load(c.drilled(), c.edgeChip(), c.k.n, c.k.Scope)
	c.feedTime(path, c.k.table)
	c.moves(c.s, "back", "way back", graph.None, path)
	if c.peck != graph.None {
		pecks := s.Whole("pecks", "pecks", s.Divide("pecks-exact", "pecks before rounding", c.depth, c.peck))
		again := s.Multiply("pecks-back", "ways out of the hole and in again", s.Two(), s.Subtract("pecks-further", "pecks after the first", pecks, s.One(graph.Plain)))
		// Pecks come out from ever deeper, half the depth on average.
		way := s.Add("peck-way", "mean way out, or in again", s.Multiply("half-depth", "half the depth", s.Half(), c.depth), c.clearance)
		c.moves(c.s, "peck", "way of a peck", again, way)
	}
}

// drilled is the removal rate of a drill, π/4·D²·feed, shared by its holes.
func (c *Cut) drilled() graph.ID {
	s, d := c.k.Scope.By("M11"), c.k.Diameter()
	return s.Multiply("removal", "removal rate", s.Pi(), s.Quarter(), d, d, c.k.table)
}

// edgeChip is the chip of each of two lips: half the feed × sine of half the point
// angle.
func (c *Cut) edgeChip() graph.ID {
	s := c.k.Scope.By("M12")
	// The lips are slanted by half the point angle, and the chip is measured square to them.
	return s.Multiply("mean-chip", "chip thickness", s.Half(), c.k.Feed, c.k.point().sin)
}

// hole gains its wall; a through hole loses two openings, a blind one gains the
// floor it loses above: π·d·l − π·d²/2, π·d·l. Own arithmetic. The
// point of the drill is left out.
func (b body) hole() (removed, area graph.ID) {
	s, d := b.s, b.diameter
	quarter := s.Quarter()
	wall := s.Multiply("wall", "wall of the hole", s.Pi(), d, b.depth)
	removed = s.Multiply("removed-one", "volume", quarter, d, wall)
	if !b.Def.Through {
		return removed, wall
	}
	return removed, s.Subtract("area-one", "surface gained", wall, s.Multiply("openings", "openings", s.Half(), s.Pi(), d, d))
}

var bore = Kind{cut: func(c *Cut) { c.along(c.to, c.diameter, c.depth, true) }, shape: body.bored, rough: true}

// bored is a ring taken out of a hole; one right through takes it off both faces too.
func (b body) bored() (removed, area graph.ID) {
	s, large := b.s, b.cutTo()
	left := b.proud()
	large = graph.Or(s.Subtract("left-diameter", "diameter left", large, left), large)
	// large is the bored size, of which an allowance leaves less; diameter is the hole before.
	ring := b.ring(large, b.diameter)
	removed, area = s.Multiply("removed-one", "volume", ring, b.depth), b.wallChange(large, b.diameter, b.depth)
	if b.Def.Through {
		area = s.Subtract("area-one", "surface gained", area, s.Multiply("openings", "openings", s.Two(), ring))
	}
	return removed, area
}

var ream = Kind{cut: (*Cut).ream, size: itsOwn}

// ream goes through the hole at its feed and comes back under feed too, or it would
// score what it has finished: at twice the feed where no return_factor is stated, which
// is common practice. t = (clearance + depth + overrun)/(f·n)·(1 + 1/factor). Source
// `drilling-item` for the way in. What it takes off is a tenth or two, too little to count.
func (c *Cut) ream() {
	s := c.s.By("M7")
	path := s.Sum("path", "travel", c.clearance, c.depth, c.out())
	c.feedTime(path, c.k.table)
	factor := c.backward
	if factor == graph.None {
		factor = fixed(s, "return-usual", "feed out ÷ feed in where none is stated", "2", "common practice")
	}
	c.Minutes = s.Add("time", "time of one, with its return", c.Minutes, s.Divide("return-time", "time of the return", c.Minutes, factor))
}
