package feature

import (
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

var engrave = Kind{cut: (*Cut).engrave, size: within, choice: Choice.lines}

// engrave follows its lines level by level, and in passes beside one another where
// they are wider than the tool cuts, plunging into each at a third of the
// feed, which is common practice.
func (c *Cut) engrave() {
	l := c.levels(c.cutDepth(c.depth), c.mostDepth())
	s := c.s.By("M3")
	third := s.Three()
	plunge := s.SumProducts("plunge-path", "plunge at a third of the feed, as path", third, c.clearance, third, l.each)
	one := s.Add("pass-path", "path of one pass", c.path, plunge)
	c.feedTime(c.Times("path", "path", l.passes, c.sides(), one), c.k.table)
	c.inAndOut(c.depth, graph.None)
}

// lineWidth is how wide the tool engraves at the depth d: an engraver as its tip, or
// with a point angle θ tip + 2·d·tan(θ/2); a ball mill 2·√(h·(D − h)), h = d and at
// most its radius, which is the chord of a circle.
func (c *Cut) lineWidth() graph.ID {
	const name, label = "line-width", "width of the line that the tool cuts"
	switch s := c.s.By("M4"); {
	case c.k.Kind == bom.BallMill:
		h := s.Minimum("line-height", "depth, at most the radius", c.depth, s.Multiply("ball-radius", "radius of the ball", s.Half(), c.k.Diameter()))
		square := s.Multiply("line-square", "half the width, squared", h, s.Subtract("line-rest", "diameter less that", c.k.Diameter(), h))
		return s.Multiply(name, label, s.Two(), s.SquareRoot("line-half", "half the width", square))
	case c.k.PointAngleDeg != nil:
		p := c.k.point()
		slope := s.Divide("line-slope", "tangent of half the point angle", p.sin, p.cos)
		return s.SumProducts(name, label, c.k.Diameter(), s.One(graph.Plain), c.s.Multiply("line-flanks", "twice the depth", s.Two(), c.depth), slope)
	default:
		return s.Sum(name, label, c.k.Diameter())
	}
}

// sides is how many passes beside one another make up the line; None where its
// width is not entered.
func (c *Cut) sides() graph.ID {
	c.line = c.lineWidth()
	if c.width == graph.None {
		return graph.None
	}
	return c.passes("side", "passes beside one another", c.width, c.line)
}

// lines shows the width of the line that the tool chosen cuts, and says where none
// is entered.
func (p Choice) lines() {
	p.of(p.Scope.By("M4"), "line-width", "width of the line that the tool cuts", func(c *Cut) graph.ID { return c.line })
	if p.Def.WidthMM != nil {
		return
	}
	widths := make([]string, len(p.cuts))
	for i, c := range p.cuts {
		widths[i] = fmt.Sprintf("%s cuts %s mm", c.k.Name, c.k.LineText(p.Def.DepthMM))
	}
	p.Scope.Find(graph.Note, "line-width", fmt.Sprintf("no width_mm is entered for %s, so that no tool is too wide for its lines: %s", p.Def.Name, strings.Join(widths, ", ")))
}
