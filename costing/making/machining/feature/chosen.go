package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Choice is a feature with the tools that may cut it and the choice among them.
type Choice struct {
	*Feature
	choice graph.ID // None of a single tool
	cuts   []*Cut
}

// Choose gives the figures of the tool chosen: of cuts that with the index choice.
func (f *Feature) Choose(choice graph.ID, cuts []*Cut) Choice { return Choice{f, choice, cuts} }

// Figure gives a figure of the tool chosen as one of the feature, from those of all
// tools; a tool without it counts as zero, since At picks among values of one unit.
// It is None where no tool has it.
func (p Choice) Figure(s graph.Scope, name, label string, ids []graph.ID) graph.ID {
	known := graph.None
	for _, id := range ids {
		known = graph.Or(known, id)
	}
	if known == graph.None {
		return graph.None
	}
	for i := range ids {
		ids[i] = graph.Or(ids[i], s.Zero(s.Unit(known)))
	}
	return p.at(s, name, label, ids)
}

// of is [Choice.Figure] of what each cut takes.
func (p Choice) of(s graph.Scope, name, label string, figure func(*Cut) graph.ID) graph.ID {
	return p.Figure(s, name, label, p.each(figure))
}

func (p Choice) each(figure func(*Cut) graph.ID) []graph.ID {
	ids := make([]graph.ID, len(p.cuts))
	for i, c := range p.cuts {
		ids[i] = figure(c)
	}
	return ids
}

func (p Choice) at(s graph.Scope, name, label string, ids []graph.ID) graph.ID {
	if len(ids) == 1 {
		return s.Sum(name, label, ids[0])
	}
	return s.At(name, label, p.choice, ids...)
}

// Shape writes what the feature takes away, and the surface it adds: its part in the
// mass of the chips and in the area that a finisher charges. Figures of all features
// alike, by piece.
func (p Choice) Shape() (removed, area graph.ID) {
	if p.kind.shape == nil {
		return graph.None, graph.None
	}
	b := body{p, p.Scope.By("S4")}
	removed, area = p.kind.shape(b)
	return b.all("removed", "volume taken away", removed), b.all("area", "surface gained", area)
}

// body is the shape of a feature.
type body struct {
	Choice
	s graph.Scope
}

// all is a figure of all features alike, under one key whatever their number.
func (b body) all(name, label string, one graph.ID) graph.ID {
	if b.Count == graph.None {
		return b.s.Sum(name, label, one)
	}
	return b.s.Multiply(name, label, one, b.Count)
}

// cutDepth is the depth less what is left for finishing.
func (b body) cutDepth() graph.ID {
	return graph.Or(b.s.Subtract("removed-depth", "depth less the allowance", b.depth, b.allowance), b.depth)
}

// Caution says what is worth knowing of the kind of feature, whatever tool is chosen.
func (p Choice) Caution() {
	if p.kind.choice != nil {
		p.kind.choice(p)
	}
}

// Checks say where a limit of the machine slows the feature down, or the chip gets
// so thin that the edge rubs.
func (p Choice) Checks(centre *Centre) {
	// Of the tool chosen alone: that a tool which nobody takes would be too slow is of no
	// use to anybody.
	s, of := p.Scope.By("M12"), p.Scope.By("M14")
	if centre.spindleMax != graph.None {
		s.By("M1").Check("spindle-free", "the spindle reaches the speed that the cutting data ask for "+p.Def.Name+graph.Otherwise+"the highest speed of the spindle limits "+p.Def.Name+": the minutes are those of that speed", p.at(of, "spindle-wanted", "spindle speed wanted", p.each(func(c *Cut) graph.ID { return c.Wanted })), graph.LessOrEqual, centre.spindleMax)
	}
	p.fitting()
	one := s.One(graph.Plain)
	full := func(name, label, holds string, figure func(*Cut) graph.ID) {
		ids, any := p.each(figure), false
		for i, id := range ids {
			// A tool that nothing limits has all of its feed.
			ids[i] = graph.Or(id, one)
			any = any || id != graph.None
		}
		if any {
			s.Check(name, holds, p.at(of, name+"-share", label, ids), graph.GreaterOrEqual, one)
		}
	}
	full("power-free", "share of the feed that the spindle drives", "the spindle has the power and torque to cut "+p.Def.Name+" at the full feed"+graph.Otherwise+"the power or torque of the spindle limits "+p.Def.Name+": the minutes are those of the feed it can drive", func(c *Cut) graph.ID { return c.slow })
	full("reach-free", "share of the depth of cut for this reach", "the tool is stiff enough to cut "+p.Def.Name+" at the full depth of cut"+graph.Otherwise+"the reach of the tool limits "+p.Def.Name+": the minutes are those of a depth of cut that it stands", func(c *Cut) graph.ID { return c.stiff })
	full("chip-cut", "mean chip ÷ thinnest chip that is cut", "the edge cuts "+p.Def.Name+" and does not rub", func(c *Cut) graph.ID { return c.chip })
}

// fitting holds the tool chosen to the size of the feature, which may be tried out
// with other figures than those the tools were looked for with.
func (p Choice) fitting() {
	if p.kind.size == nil {
		return
	}
	room, compare := p.kind.size(p.Feature)
	if room == graph.None {
		return
	}
	s := p.Scope.By("M4")
	size := p.of(s, "tool-size", "size of the tool", func(c *Cut) graph.ID {
		switch {
		case c.line != graph.None:
			return c.line
		case c.k.Kind == bom.SlittingSaw:
			return c.k.Tool.width()
		}
		return c.k.Diameter()
	})
	s.Check("tool-fits", "the tool has the size for "+p.Def.Name, size, compare, room)
	s.Check("tool-reaches", "the tool reaches the depth of "+p.Def.Name, p.reach(s), graph.GreaterOrEqual, p.depth)
}

// reach is that of the tool chosen; a tool without one is taken to reach.
func (p Choice) reach(s graph.Scope) graph.ID {
	ids, known := p.each(func(c *Cut) graph.ID { return c.k.number("reach", "reach", graph.Mm, c.k.ReachMM, "reach_mm") }), false
	for i, id := range ids {
		// Its own depth always passes the check.
		ids[i] = graph.Or(id, p.depth)
		known = known || id != graph.None
	}
	if !known {
		return graph.None
	}
	return p.at(s, "tool-reach", "reach of the tool", ids)
}
