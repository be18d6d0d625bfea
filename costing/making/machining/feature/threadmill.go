package feature

import (
	"kerfbook/costing/graph"
)

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
