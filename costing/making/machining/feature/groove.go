package feature

import "kerfbook/costing/graph"

var groove = Kind{cut: (*Cut).groove, shape: body.groove}

// groove plunges beside itself until the width is there, and where the blade is narrower
// sweeps the ground once: path = plunges × (depth + clearance) + (W − b), plunges =
// ceil(W/b), at the spindle speed of the larger diameter. An undercut is a groove. Own
// arithmetic.
func (c *Cut) groove() {
	s := c.s.By("M4")
	large := s.Maximum("larger-diameter", "larger diameter", c.diameter, c.to)
	wall := s.Multiply("turned-depth", "depth of the groove", s.Half(), s.Subtract("turned-both", "difference of the diameters", large, s.Minimum("smaller-diameter", "smaller diameter", c.diameter, c.to)))
	n := graph.None
	c.Wanted, n, c.VC = spin(c.s, c.centre, c.k.Speed, large)
	blade := c.k.Tool.width()
	plunges := c.passes("plunges", "plunges beside one another", c.width, blade)
	// A blade cuts its whole width, so that no plunge can be split.
	c.whole = true
	c.load(c.s.By("M11").Multiply("removal", "removal rate", s.Pi(), large, blade, c.k.Feed, n), c.k.Feed, n, c.s)
	s = c.s.By("M3")
	one := s.Add("pass-path", "path of one plunge", wall, c.clearance)
	sweep := s.Maximum("sweep", "sweep along the ground", s.Zero(graph.Mm), s.Subtract("sweep-less", "width less the blade", c.width, blade))
	path := s.Add("path", "path", s.Multiply("plunge-path", "path of the plunges", plunges, one), sweep)
	c.revolve(s.Divide("rough-turns", "path ÷ spindle speed", path, n), graph.None, c.slow)
	c.moves(c.s, "back", "way back of one plunge", plunges, one)
}

// groove loses its cylinder for another, and gains two side walls.
func (b body) groove() (removed, area graph.ID) {
	s := b.s
	ring := b.ring(s.Maximum("large-diameter", "larger diameter", b.diameter, b.to), s.Minimum("small-diameter", "smaller diameter", b.diameter, b.to))
	walls := s.Multiply("side-walls", "side walls", s.Two(), ring)
	return s.Multiply("removed-one", "volume", ring, b.width), s.Add("area-one", "surface gained", b.wallChange(b.to, b.diameter, b.width), walls)
}
