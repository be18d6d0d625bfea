package feature

import (
	"kerfbook/costing/graph"
)

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
