package feature

import "kerfbook/costing/graph"

var bore = Kind{cut: func(c *Cut) { c.along(c.to, c.diameter, c.depth, true) }, shape: body.bored, rough: true}

// bored is a ring taken out of a hole; one right through takes it off both faces too.
func (b body) bored() (removed, area graph.ID) {
	s, large := b.s, b.cutTo()
	left := b.proud()
	large = graph.Or(s.Subtract("left-diameter", "diameter left", large, left), large)
	// large is the bored size, of which an allowance leaves less; diameter is the hole before.
	ring := b.ring(large, b.diameter)
	removed, area = s.Multiply("removed-one", "volume", ring, b.depth), b.wallChange(large, b.diameter, b.depth)
	if b.Def.Through {
		area = s.Subtract("area-one", "surface gained", area, s.Multiply("openings", "openings", s.Two(), ring))
	}
	return removed, area
}
