package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// standardOverrun is how far a tool runs out of a through hole that states no
// overrun.
const standardOverrun = 2

// out is the overrun of a through hole.
func (c *cut) out() graph.ID {
	if c.overrun != graph.None || !c.f.Through {
		return c.overrun
	}
	return c.s.Fixed("overrun", "overrun where none is stated", graph.Mm, bom.Whole(standardOverrun).Likely, "textbook B2 of the sheet, chapter 42: 2 to 3 mm")
}

// pointLength is A = (D/2)/tan(θ/2), θ the full point angle.
func (t tool) pointLength() graph.ID {
	if id := t.s.Lookup(t.s.Key("point")); id != graph.None {
		return id
	}
	p := t.point()
	s := t.s.By("M7")
	return s.Divide("point", "length of the point", s.Multiply("point-run", "half the diameter × cosine", half(s), t.diameter(), p.cos), p.sin)
}

// drill is M7: travel = clearance + full-diameter depth + point (+ overrun if
// through); back at the rapid rate, and out and in again for each peck. Source: B2,
// B5, B7 of the sheet; K09, K12, K17, K18. The misprint of B6 is not followed.
func (c *cut) drill() {
	s := c.s.By("M7")
	tip := s.Add("tip-depth", "depth of the tip", c.depth, c.k.pointLength())
	path := s.Sum("path", "travel", c.clearance, tip, c.out())
	c.whole = true
	c.load(c.drilled(), c.edgeChip(), c.k.n, c.k.s)
	c.feedTime(path, c.k.table)
	c.moves(c.s, "back", "way back", graph.None, path)
	if c.peck != graph.None {
		pecks := s.Whole("pecks", "pecks", s.Divide("pecks-exact", "pecks before rounding", c.depth, c.peck))
		again := s.Multiply("pecks-back", "ways out of the hole and in again", two(s), s.Subtract("pecks-further", "pecks after the first", pecks, s.One(graph.Plain)))
		way := s.Add("peck-way", "mean way out, or in again", s.Multiply("half-depth", "half the depth", half(s), c.depth), c.clearance)
		c.moves(c.s, "peck", "way of a peck", again, way)
	}
}

// drilled is the removal rate of a drill, π/4·D²·feed, shared by its holes.
func (c *cut) drilled() graph.ID {
	s := c.k.s.By("M11")
	if id := s.Lookup(s.Key("removal")); id != graph.None {
		return id
	}
	d := c.k.diameter()
	return s.Multiply("removal", "removal rate", pi(s), fixed(s, "quarter", "one quarter", "0.25", "definition"), d, d, c.k.table)
}

// edgeChip is the chip of each of two lips: half the feed × sine of half the point
// angle.
func (c *cut) edgeChip() graph.ID {
	s := c.k.s.By("M12")
	if id := s.Lookup(s.Key("mean-chip")); id != graph.None {
		return id
	}
	return s.Multiply("mean-chip", "chip thickness", half(s), c.k.feed, c.k.point().sin)
}

// tap is M8: (depth + lead-in + clearance)·(1/(lead·n) + 1/(lead·n_return)) +
// reversal; the lead-in is the overrun stated, else three pitches. Source: T21 for
// feed = pitch × speed, the lead-in from memory; K32.
func (c *cut) tap() {
	s := c.s.By("M8")
	into := c.overrun
	if into == graph.None {
		into = s.Multiply("lead-in", "lead-in of three pitches", fixed(s, "three", "three", "3", "definition"), c.pitch)
	}
	travel := s.Add("path", "travel", c.depth, into, c.clearance)
	feed := c.s.By("M2").Multiply("table-feed", "feed", c.times("lead", "lead of the thread", c.pitch, c.starts), c.k.n)
	c.tapTorque()
	c.feedTime(travel, feed)
	back := c.minutes
	if c.backward != graph.None {
		back = s.Divide("return-time", "time of the return", c.minutes, c.backward)
	}
	c.minutes = s.Sum("time", "time of one, with its return", c.minutes, back, c.centre.reversal)
}

// tapTorque is Md = kc·P²·D/8000, N·m, and its power. Source: T17; K33.
func (c *cut) tapTorque() {
	if c.k.tapForce == graph.None {
		return
	}
	s := c.s.By("M12")
	work := s.Divide("torque-mm", "torque in N·mm", s.Multiply("tap-work", "force × pitch² × diameter", c.k.tapForce, c.pitch, c.pitch, c.k.diameter()), eight(s))
	torque := s.Convert("torque", "torque", work, graph.Mm, graph.Metre)
	if c.centre.torque != graph.None {
		s.Check("torque-free", "the spindle has the torque that "+c.k.Name+" needs", torque, graph.LessOrEqual, c.centre.torque)
	}
	power := s.Divide("power", "cutting power", s.Multiply("power-turns", "torque × turns", two(s), pi(s), work, c.k.n), perKilowatt(s))
	c.slow = c.powerLimit(s, power)
}

// threadMill runs round the thread: once where the edge is as long as the thread
// is deep, else once per pitch and once more; and one turn for the ways in and
// out. The path is measured, and the feed holds, at the diameter of the thread.
func (c *cut) threadMill() {
	s := c.s.By("M3")
	turns := s.One(graph.Plain)
	if c.k.CuttingLengthMM == nil || c.k.CuttingLengthMM.Likely.LessThan(c.f.DepthMM.Likely) {
		lead := c.times("lead", "lead of the thread", c.pitch, c.starts)
		turns = s.Add("thread-turns", "turns of the thread", s.Whole("thread-further", "turns in the depth", s.Divide("thread-exact", "turns before rounding", c.depth, lead)), turns)
	}
	turns = c.times("start-turns", "turns of all starts", turns, c.starts)
	all := s.Add("turns", "turns, with the ways in and out", turns, s.One(graph.Plain))
	c.feedTime(s.Multiply("path", "path", all, pi(s), c.diameter), c.k.table)
	c.inAndOut(c.depth, graph.None)
}
