package feature

import (
	"kerfbook/costing/graph"
)

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
