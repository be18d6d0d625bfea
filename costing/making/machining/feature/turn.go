package feature

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

var turn = Kind{cut: func(c *Cut) { c.along(c.diameter, c.to, c.length, false) }, shape: body.turned, rough: true, choice: Choice.slender}

// turned is a ring taken off a length.
func (b body) turned() (removed, area graph.ID) {
	s, small := b.s, b.cutTo()
	if left := b.proud(); left != graph.None {
		// What is left for another feature is taken away, and counted, by that.
		small = s.Add("left-diameter", "diameter left", small, left)
	}
	removed = s.Multiply("removed-one", "volume", b.ring(b.diameter, small), b.length)
	wall := b.wallChange(b.diameter, small, b.length)
	return removed, s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), wall)
}

// slender says that a turned length bends where nothing holds its far end. Four
// diameters are common practice.
func (p Choice) slender() {
	f := p.Def
	if bom.Beyond([]bom.Number{*f.LengthMM}, 4, *f.ToDiameterMM) {
		p.Scope.Find(graph.Note, "length", fmt.Sprintf("%s is %s mm long at a diameter of %s mm, more than four times that: it bends unless its far end is held, and neither the time of a tailstock nor lighter cuts are counted",
			f.Name, f.LengthMM.Likely, f.ToDiameterMM.Likely))
	}
}
