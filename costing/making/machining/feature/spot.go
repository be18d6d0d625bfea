package feature

import "kerfbook/costing/graph"

var (
	spot        = Kind{cut: (*Cut).cone, shape: body.cone, size: cone}
	countersink = Kind{cut: (*Cut).cone, shape: body.cone, size: cone}
)

// cone wants a tool at least as wide as the mark.
func cone(f *Feature) (room graph.ID, compare graph.Comparison) {
	return f.diameter, graph.GreaterOrEqual
}

// cone spots, or countersinks a hole: travel = clearance + (D − d)/2 ÷ tan(θ/2), d the
// hole that is there and θ the point angle of the tool; where the depth is entered, as of
// a centre drill, clearance + depth. Speed and feed are those of a drill at the diameter
// midway between the largest and the smallest of the cone, source `countersink-guide`.
func (c *Cut) cone() {
	// In a scope of its own, since the tool has a speed at its own diameter too.
	s := c.s.In("cone").By("M7")
	one := s.One(graph.Plain)
	middle := s.Multiply("middle-diameter", "diameter midway", s.Half(), s.Add("middle-both", "largest and smallest diameter", c.diameter, graph.Or(c.to, s.Zero(graph.Mm))))
	wanted, n, vc := spin(s, c.centre, c.k.Speed, middle)
	c.Wanted, c.VC = wanted, vc
	deep := c.depth
	if deep == graph.None {
		p := c.k.point()
		run := s.Multiply("cone-run", "half the difference of the diameters", s.Half(), s.Subtract("cone-both", "difference of the diameters", c.diameter, graph.Or(c.to, s.Zero(graph.Mm))))
		deep = s.Divide("cone-depth", "depth cut of the cone", s.Multiply("cone-cosine", "that × cosine", run, p.cos), p.sin)
	}
	c.deep = deep
	path := c.s.By("M7").Add("path", "travel", c.clearance, deep)
	teeth := one
	if !c.k.byTurn() {
		teeth = c.k.teeth()
	}
	c.feedTime(path, s.By("M2").Multiply("table-feed", "feed", c.k.Feed, teeth, n))
	c.moves(c.s, "back", "way back", graph.None, path)
}

// cone is a frustum less the hole that is there: π/12·h·(D² + D·d − 2·d²). Its flank is
// gained; the ring of the face and the wall of the hole are lost.
func (b body) cone() (removed, area graph.ID) {
	s, small := b.s, b.cutTo()
	deep := b.of(b.Scope.By("M7"), "cone-depth", "depth of the cone by the tool chosen", func(c *Cut) graph.ID { return c.deep })
	twelfth := s.Divide("twelfth", "π ÷ 12", s.Pi(), fixed(s, "twelve", "twelve", "12", "definition"))
	squares := s.Subtract("cone-squares", "D² + D·d − 2·d²", s.SumProducts("cone-whole", "D² + D·d", b.diameter, b.diameter, b.diameter, small), s.Multiply("cone-hole", "2·d²", s.Two(), small, small))
	removed = s.Multiply("removed-one", "volume", twelfth, deep, squares)
	wall := s.Multiply("cone-wall", "half the difference of the diameters", s.Half(), s.Subtract("cone-rest", "difference of the diameters", b.diameter, small))
	slant := s.SquareRoot("slant", "length of the flank", s.SumProducts("slant-square", "that, squared", deep, deep, wall, wall))
	flank := s.Multiply("flank", "flank", s.Half(), s.Pi(), s.Add("both-diameters", "both diameters", b.diameter, small), slant)
	lost := s.Add("lost", "ring and wall lost", b.ring(b.diameter, small), s.Multiply("wall-lost", "wall lost", s.Pi(), small, deep))
	return removed, s.Subtract("area-one", "surface gained", flank, lost)
}
