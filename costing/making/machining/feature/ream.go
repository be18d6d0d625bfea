package feature

import "kerfbook/costing/graph"

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
