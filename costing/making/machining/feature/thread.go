package feature

import "kerfbook/costing/graph"

var tap = Kind{cut: (*Cut).tap, size: itsOwn}

// tap is M8: (depth + lead-in + clearance)·(1/(lead·n) + 1/(lead·n_return)) +
// reversal; the lead-in is the overrun stated, else three pitches. Source
// `tapping-formulas` for feed = pitch × speed, the lead-in from memory.
func (c *Cut) tap() {
	s := c.s.By("M8")
	into := c.overrun
	if into == graph.None {
		into = s.Multiply("lead-in", "lead-in of three pitches", s.Three(), c.pitch)
	}
	travel := s.Add("path", "travel", c.depth, into, c.clearance)
	feed := c.s.By("M2").Multiply("table-feed", "feed", c.Times("lead", "lead of the thread", c.pitch, c.starts), c.k.n)
	// The feed of a tap is its pitch: neither it nor the chip can give way to a torque, so
	// a check says where that is too high; power can still lower the speed.
	c.tapTorque()
	// M8 runs the way in and the way out at the feed: a tap has to be turned out again.
	c.feedTime(travel, feed)
	back := c.Minutes
	back = graph.Or(s.Divide("return-time", "time of the return", c.Minutes, c.backward), back)
	c.Minutes = s.Sum("time", "time of one, with its return", c.Minutes, back, c.centre.reversal)
}

// tapTorque is Md = kc·P²·D/8000, N·m, and its power. Source `tapping-torque`.
func (c *Cut) tapTorque() {
	if c.k.TapForce == graph.None {
		return
	}
	s := c.s.By("M12")
	work := s.Divide("torque-mm", "torque in N·mm", s.Multiply("tap-work", "force × pitch² × diameter", c.k.TapForce, c.pitch, c.pitch, c.k.Diameter()), eight(s))
	torque := s.Convert("torque", "torque", work, graph.Mm, graph.Metre)
	s.Check("torque-free", "the spindle has the torque that "+c.k.Name+" needs", torque, graph.LessOrEqual, c.centre.torque)
	power := s.Divide("power", "cutting power", s.Multiply("power-turns", "torque × turns", s.Two(), s.Pi(), work, c.k.n), perKilowatt(s))
	c.slow = c.powerLimit(s, power)
}

var threadMill = Kind{cut: (*Cut).threadMill}

// threadMill runs round the thread: once where the edge is as long as the thread
// is deep, else once per pitch and once more; and one turn for the ways in and
// out. The path is measured, and the feed holds, at the diameter of the thread.
func (c *Cut) threadMill() {
	s := c.s.By("M3")
	turns := s.One(graph.Plain)
	if c.k.CuttingLengthMM == nil || c.k.CuttingLengthMM.Likely.LessThan(c.Def.DepthMM.Likely) {
		lead := c.Times("lead", "lead of the thread", c.pitch, c.starts)
		turns = s.Add("thread-turns", "turns of the thread", s.Whole("thread-further", "turns in the depth", s.Divide("thread-exact", "turns before rounding", c.depth, lead)), turns)
	}
	turns = c.Times("start-turns", "turns of all starts", turns, c.starts)
	all := s.Add("turns", "turns, with the ways in and out", turns, s.One(graph.Plain))
	c.feedTime(s.Multiply("path", "path", all, s.Pi(), c.diameter), c.k.table)
	c.inAndOut(c.depth, graph.None)
}

var threadTurn = Kind{cut: (*Cut).threadTurn}

// threadTurn cuts a thread by a single point (M19): t = passes × (length + run-in +
// clearance)/(lead·n), source `insert-time-formula`. The passes are 1 + 4·pitch rounded
// up, at least four, which lies within source `thread-passes` and source
// `more-thread-passes`, and a spring pass; more in what is hard to cut, by the cutting
// data. The run-in is the overrun stated, else two pitches, from memory. Each pass goes
// out, back and in again, comes to rest, and waits half a turn on average for its start.
func (c *Cut) threadTurn() {
	s := c.s.By("M19")
	n := graph.None
	c.Wanted, n, c.VC = spin(c.s, c.centre, c.k.Speed, c.diameter)
	one := s.One(graph.Plain)
	pitches := s.Divide("pitch-plain", "pitch, a plain number of mm", c.pitch, s.One(graph.Mm))
	exact := s.SumProducts("infeeds-exact", "infeeds before rounding", one, one, s.Four(), pitches)
	infeeds := s.Maximum("infeeds", "infeeds", s.Four(), s.Whole("infeeds-whole", "infeeds, rounded up", exact))
	passes := s.Sum("passes-start", "passes of a start, with a spring pass", infeeds, one, c.k.MorePasses)
	passes = s.Sum("passes", "passes", c.Times("passes-all", "passes of all starts", passes, c.starts))
	deep := s.Multiply("infeed-all", "infeed in all, on the radius", fixed(s, "thread-depth", "depth of an outside thread ÷ pitch", "0.61343", "ISO 68-1: 17/24 of 0.866025"), c.pitch)
	s.Divide("infeed-mean", "mean infeed of a pass", deep, infeeds)
	into := c.overrun
	if into == graph.None {
		into = s.Multiply("run-in", "run-in of two pitches", s.Two(), c.pitch)
	}
	travel := s.Add("pass-path", "path of one pass", c.length, into, c.clearance)
	lead := c.Times("lead", "lead of the thread", c.pitch, c.starts)
	if c.centre.rapid != graph.None {
		// The slides have to follow: lead × spindle speed is no more than they can.
		n = s.Minimum("spindle-followed", "spindle speed that the slides follow", n, s.Divide("spindle-of-slides", "spindle speed at their highest", c.centre.rapid, lead))
	}
	feed := s.Multiply("table-feed", "feed", lead, n)
	c.feedTime(s.Multiply("path", "path", passes, travel), feed)
	c.moves(c.s, "back", "way back of one pass", passes, travel)
	c.moves(c.s, "lift", "way out of the thread, or into it", s.Multiply("lifts", "ways out and in", s.Two(), passes), s.Add("lift-way", "depth and clearance", deep, c.clearance))
	wait := s.Divide("start-wait", "half a turn", s.Half(), n)
	c.moving = append(c.moving, move{passes, s.Sum("start-rest", "coming to rest, and half a turn", wait, c.centre.settling)})
}
