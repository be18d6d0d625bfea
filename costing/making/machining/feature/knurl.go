package feature

import "kerfbook/costing/graph"

var knurl = Kind{cut: (*Cut).knurl}

// knurl runs along the length once: t = (length + clearance)/(f·n). It presses and cuts
// nothing away. Source `lathe-operation-times` for the form.
func (c *Cut) knurl() {
	n := graph.None
	c.Wanted, n, c.VC = spin(c.s, c.centre, c.k.Speed, c.diameter)
	s := c.s.By("M3")
	path := s.Add("path", "path", c.length, c.clearance)
	c.revolve(s.Divide("rough-turns", "path ÷ spindle speed", path, n), graph.None, graph.None)
	c.moves(c.s, "back", "way back", graph.None, path)
}
