package feature

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

var finishFace = Kind{cut: (*Cut).finishFace, rough: true, caution: (*Cut).seam,
	shape: func(b body) (removed, area graph.ID) {
		if b.depth == graph.None {
			return graph.None, graph.None
		}
		return b.block()
	}}

// finishFace finishes an open face: a ball mill by the height of its scallops
// (M10), any other by its feed (M9). Path = rows × (length + D + clearances), of a
// ball without its diameter; rows = ceil(width/ae), and one of a cutter at least as
// wide as the face, since a finish bears no seam. The height of
// scallops: source `ball-nose-stepover`.
func (c *Cut) finishFace() {
	both := c.ends()
	wide, table, feed := graph.None, c.k.table, c.k.Feed
	s := c.s.By("M3")
	// A ball cuts with its tip and is clear with its axis; of a flat cutter the rear edge
	// has to leave the face too.
	ends := []graph.ID{c.length, both}
	if c.k.Kind == bom.BallMill {
		wide = c.scallops(c.mostWidth())
	} else {
		table, feed = c.finishFeed()
		wide = c.faceWidth()
		ends = append(ends, c.k.Diameter())
	}
	rows := c.passes("rows", "passes side by side", c.width, wide)
	if c.depth != graph.None {
		used := c.s.By("M4").Minimum("width-used", "width of cut used", wide, c.width)
		c.whole = true // a finish is taken in one pass
		c.load(c.remove(c.depth, used, table), c.k.engaged(c.s, used, feed), c.k.n, c.s)
	}
	one := s.Add("pass-path", "path of one pass", ends...)
	c.feedTime(c.Times("path", "path", rows, one), table)
	c.inAndOut(graph.None, graph.None)
}

// finishFeed is the table feed for the roughness, never above the feed of the
// cutting data, and the feed per tooth that it comes to. One insert stands proud,
// so that the feed is by revolution.
func (c *Cut) finishFeed() (table, tooth graph.ID) {
	s := c.s.By("M9")
	rev := c.Times("feed-revolution", "feed per revolution", c.k.Feed, c.k.teeth())
	rough := c.roughFeed()
	if rough == graph.None {
		c.reached(rev)
		return c.k.table, c.k.Feed
	}
	feed := s.Minimum("feed-finishing", "feed per revolution for the roughness", rev, rough)
	c.reached(feed)
	s = c.s.By("M2")
	tooth = feed
	if c.k.Teeth != nil {
		tooth = s.Divide("feed-tooth-finishing", "feed per tooth for the roughness", feed, c.k.teeth())
	}
	return s.Multiply("table-feed-finishing", "table feed for the roughness", feed, c.k.n), tooth
}

// scallops is M10: ae = 2·√(2·R·h − h²) for scallops of height h left by a ball of
// radius R; without a height, h = R − √(R² − (ae/2)²) is shown.
func (c *Cut) scallops(wide graph.ID) graph.ID {
	s := c.s.By("M10")
	d := c.k.Diameter()
	if c.roughness != graph.None {
		h := s.Convert("scallop-height", "height of scallops in mm", c.roughness, graph.Micron, graph.Mm)
		square := s.Subtract("scallop-square", "half the step-over, squared", s.Multiply("scallop-product", "diameter × height", d, h), s.Multiply("scallop-height-2", "height, squared", h, h))
		step := s.Multiply("scallop-step", "step-over for the scallops", s.Two(), s.SquareRoot("scallop-half", "half the step-over", square))
		if c.Def.WidthOfCutMM == nil {
			return step
		}
		return s.Minimum("step-over", "step-over", step, wide)
	}
	r := s.Multiply("ball-radius", "radius of the ball", s.Half(), d)
	a := s.Multiply("half-step", "half the step-over", s.Half(), wide)
	under := s.Subtract("scallop-under", "radius² less half the step-over²", s.Multiply("ball-radius-2", "radius, squared", r, r), s.Multiply("half-step-2", "half the step-over, squared", a, a))
	h := s.Subtract("scallop-mm", "height of scallops in mm", r, s.SquareRoot("scallop-root", "its root", under))
	s.Convert("scallop", "height of scallops", h, graph.Mm, graph.Micron)
	return wide
}

// seam says that a finishing pass is narrower than the face, at likely sizes.
func (c *Cut) seam() {
	pass := c.k.DiameterMM
	if c.Def.WidthOfCutMM != nil {
		pass = c.Def.WidthOfCutMM
	}
	if c.k.Kind != bom.BallMill && pass.Likely.LessThan(c.Def.WidthMM.Likely) {
		c.s.Find(graph.Note, "rows", fmt.Sprintf("%s takes %s in more than one pass, which leaves a seam; a cutter at least as wide as the face leaves none", c.k.Name, c.Def.Name))
	}
}
