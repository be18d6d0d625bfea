package machining

import (
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// lineWidth is how wide the tool engraves at the depth d: an engraver as its tip, or
// with a point angle θ tip + 2·d·tan(θ/2); a ball mill 2·√(h·(D − h)), h = d and at
// most its radius, which is the chord of a circle.
func (c *cut) lineWidth() graph.ID {
	const name, label = "line-width", "width of the line that the tool cuts"
	switch s := c.s.By("M4"); {
	case c.k.Kind == bom.BallMill:
		h := s.Minimum("line-height", "depth, at most the radius", c.depth, s.Multiply("ball-radius", "radius of the ball", half(s), c.k.diameter()))
		square := s.Multiply("line-square", "half the width, squared", h, s.Subtract("line-rest", "diameter less that", c.k.diameter(), h))
		return s.Multiply(name, label, two(s), s.SquareRoot("line-half", "half the width", square))
	case c.k.PointAngleDeg != nil:
		p := c.k.point()
		slope := s.Divide("line-slope", "tangent of half the point angle", p.sin, p.cos)
		return s.SumProducts(name, label, c.k.diameter(), s.One(graph.Plain), c.s.Multiply("line-flanks", "twice the depth", two(s), c.depth), slope)
	default:
		return s.Sum(name, label, c.k.diameter())
	}
}

// sides is how many passes beside one another make up the line; None where its
// width is not entered.
func (c *cut) sides() graph.ID {
	c.line = c.lineWidth()
	if c.dims.width == graph.None {
		return graph.None
	}
	return c.passes("side", "passes beside one another", c.dims.width, c.line)
}

// lines shows the width of the line that the tool chosen cuts, and says where none
// is entered.
func (w *work) lines(p picker) {
	if w.f.Kind != bom.Engrave {
		return
	}
	p.s = w.s.By("M4")
	p.of("line-width", "width of the line that the tool cuts", func(c candidate) graph.ID { return c.line })
	if w.f.WidthMM != nil {
		return
	}
	widths := make([]string, len(p.list))
	for i, c := range p.list {
		widths[i] = fmt.Sprintf("%s cuts %s mm", c.k.Name, c.k.LineText(w.f.DepthMM))
	}
	w.s.Find(graph.Note, "line-width", fmt.Sprintf("no width_mm is entered for %s, so that no tool is too wide for its lines: %s", w.f.Name, strings.Join(widths, ", ")))
}
