package feature

import (
	"kerfbook/costing/graph"
)

// roughFeed is M9: the feed per revolution that leaves a roughness, f =
// √(8·r·Rz/k) or, for Ra, √(18·√3·r·Ra/k), r the nose radius, k the roughness
// measured ÷ theoretical. It is None where no roughness is asked, or a wiper
// levels it.
func (c *Cut) roughFeed() graph.ID {
	// A wiper's flat edge smooths what the nose leaves: the parabolas of M9 are not there.
	if c.roughness == graph.None || c.k.Wiper {
		return graph.None
	}
	s := c.s.By("M9")
	height := s.Convert("rough-height", "roughness in mm", c.roughness, graph.Micron, graph.Mm)
	factor := eight(s)
	if c.Def.RaUM != nil {
		factor = raConstant(s)
	}
	square := s.Divide("rough-square", "feed for the roughness, squared", s.Multiply("rough-product", "constant × nose radius × roughness", factor, c.k.noseRadius(), height), c.Achieved)
	return s.SquareRoot("roughness-feed", "feed for the roughness", square)
}

// reached writes the roughness that a feed per revolution leaves: Rz =
// 1000·f²/(8·r)·k and Ra = 1000·f²/(18·√3·r)·k, µm, for display. Where none is
// asked it shows what comes for nothing.
func (c *Cut) reached(feed graph.ID) {
	r := c.k.noseRadius()
	if r == graph.None || c.k.Wiper {
		return
	}
	s := c.s.By("M9")
	square := s.Divide("rough-curve", "feed² ÷ nose radius × measured ÷ theoretical", s.Multiply("rough-feed-square", "feed², × measured ÷ theoretical", feed, feed, c.Achieved), r)
	if c.Def.RaUM != nil {
		s.Convert("ra", "roughness Ra", s.Divide("ra-mm", "roughness Ra in mm", square, raConstant(s)), graph.Mm, graph.Micron)
		return
	}
	s.Convert("rz", "roughness Rz", s.Divide("rz-mm", "roughness Rz in mm", square, eight(s)), graph.Mm, graph.Micron)
}
