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

var faceTurn = Kind{cut: func(c *Cut) { c.inward(c.faceLayers) }, shape: body.faced, rough: true}

// faceLayers are what is faced off: of a face without a depth one pass, a finish
// where a roughness is asked, whose removal is not known. There inner only marks
// that a pass exists: without a step no depth is divided.
func (c *Cut) faceLayers(inner graph.ID) layers {
	switch {
	case c.depth != graph.None:
		return c.layers(c.depth)
	case c.roughness != graph.None:
		return layers{rough: graph.None, fine: inner, step: graph.None, deepest: graph.None}
	}
	return layers{rough: inner, fine: graph.None, step: graph.None, deepest: graph.None}
}

// faced is a ring taken off a face: its side is lost.
func (b body) faced() (removed, area graph.ID) {
	s, small, long := b.s, b.cutTo(), b.depth
	if long == graph.None {
		return graph.None, graph.None
	}
	if b.proud() != graph.None {
		long = b.cutDepth()
	}
	removed = s.Multiply("removed-one", "volume", b.ring(b.diameter, small), long)
	return removed, s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), s.Multiply("side-lost", "surface of the side lost", s.Pi(), b.diameter, long))
}

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

// partOff takes nothing off the piece: its cut is kerf of the stock.
var partOff = Kind{cut: func(c *Cut) { c.inward(c.blade) }}

// blade cuts its whole width, and its cut cannot be split. Its depth of cut, in the
// sense of a removal rate, is that width; inner only marks that there is a pass.
func (c *Cut) blade(inner graph.ID) layers {
	c.whole = true
	return layers{rough: inner, fine: graph.None, step: graph.None, deepest: c.k.Tool.width()}
}

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
