package feature

import "kerfbook/costing/graph"

var turnProfile = Kind{cut: (*Cut).profile, shape: body.profile, rough: true}

// profile turns from one diameter to another over a length: a chamfer, a taper, a radius,
// a dome. Steps parallel to the longer side clear the wedge, on average half as long as
// that side; the last pass follows the path, which is the straight line where none is
// entered. Each step is as deep as the cutting data allow, and without a roughness the
// last pass takes as much as a step; with one it is a finish, as of a turned length. The
// spindle speed is that of the mean diameter: at one surface speed a turn takes as long as
// its way, and the ways rise evenly. Own arithmetic.
func (c *Cut) profile() {
	s := c.s.By("M4")
	wall := s.Multiply("turned-depth", "change of the radius", s.Half(), s.Subtract("turned-both", "difference of the diameters",
		s.Maximum("larger-diameter", "larger diameter", c.diameter, c.to), s.Minimum("smaller-diameter", "smaller diameter", c.diameter, c.to)))
	short, long := s.Minimum("shorter-side", "shorter side of the wedge", wall, c.length), s.Maximum("longer-side", "longer side of the wedge", wall, c.length)
	mean := s.Multiply("mean-diameter", "mean diameter", s.Half(), s.Add("both-diameters", "both diameters", c.diameter, c.to))
	n := graph.None
	c.Wanted, n, c.VC = spin(c.s, c.centre, c.k.Speed, mean)
	l := c.layers(short)
	removal := c.s.By("M11").Multiply("removal", "removal rate", s.Pi(), mean, l.deepest, c.k.Feed, n)
	c.whole = true // the steps are many already
	c.load(removal, c.k.Feed, n, c.s)
	s = c.s.By("M3")
	steps := c.steps(l)
	along := s.Sum("finish-path", "path of the last pass", c.outline(wall), c.clearance)
	rough, fine := graph.None, s.Divide("finish-turns", "path ÷ spindle speed of the last pass", along, n)
	all := graph.None
	if steps != graph.None {
		one := s.Add("pass-path", "path of one step, on average", s.Multiply("half-side", "half the longer side", s.Half(), long), c.clearance)
		rough = s.Divide("rough-turns", "path ÷ spindle speed of the steps", s.Multiply("step-path", "path of the steps", steps, one), n)
		all = s.Add("passes", "passes, with the last", steps, s.One(graph.Plain))
	}
	c.revolve(rough, fine, c.slow)
	c.moves(c.s, "back", "way back of one pass", all, s.Add("back-way", "way back", long, c.clearance))
}

// steps is how many passes come before the last; None where the last takes all.
func (c *Cut) steps(l layers) graph.ID {
	s := c.s.By("M4")
	switch {
	case l.fine == graph.None:
		return s.Subtract("steps", "steps", c.passes("levels", "passes of the deepest cut", l.rough, l.step), s.One(graph.Plain))
	}
	return c.passes("levels", "steps", l.rough, l.step)
}

// outline is the path stated, or √(length² + wall²).
func (c *Cut) outline(wall graph.ID) graph.ID {
	if c.path != graph.None {
		return c.path
	}
	s := c.s.By("M3")
	return s.SquareRoot("straight", "straight line between both ends", s.SumProducts("straight-square", "that, squared", c.length, c.length, wall, wall))
}

// profile takes the wedge between a cylinder and a cone: π/12·L·|2·a² − a·b − b²|, a the
// diameter before and b that cut to; as exact as the profile is straight. Its flank is
// gained, the wall and the ring of the end face are lost.
func (b body) profile() (removed, area graph.ID) {
	s := b.s
	twelfth := s.Divide("twelfth", "π ÷ 12", s.Pi(), fixed(s, "twelve", "twelve", "12", "definition"))
	before := s.Multiply("wedge-before", "twice the square of the diameter before", s.Two(), b.diameter, b.diameter)
	after := s.SumProducts("wedge-after", "that of the cone", b.diameter, b.to, b.to, b.to)
	wedge := s.Subtract("wedge", "difference of the two", s.Maximum("wedge-more", "the larger", before, after), s.Minimum("wedge-less", "the smaller", before, after))
	removed = s.Multiply("removed-one", "volume", twelfth, b.length, wedge)
	large, small := s.Maximum("large-diameter", "larger diameter", b.diameter, b.to), s.Minimum("small-diameter", "smaller diameter", b.diameter, b.to)
	path := b.path
	if path == graph.None {
		wall := s.Multiply("wall", "change of the radius", s.Half(), s.Subtract("wall-both", "difference of the diameters", large, small))
		path = s.SquareRoot("flank-length", "length of the flank", s.SumProducts("flank-square", "that, squared", b.length, b.length, wall, wall))
	}
	flank := s.Multiply("flank", "flank", s.Half(), s.Pi(), s.Add("both-diameters", "both diameters", b.diameter, b.to), path)
	lost := s.Add("lost", "wall and ring lost", s.Multiply("wall-lost", "wall lost", s.Pi(), b.diameter, b.length), b.ring(large, small))
	return removed, s.Subtract("area-one", "surface gained", flank, lost)
}
