package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
)

// Cut is one feature cut by one tool: what it takes for one of the features alike.
type Cut struct {
	*Feature
	s      graph.Scope // …/feature/F/with/T
	k      *Cutter
	centre *Centre
	mat    Material
	whole  bool // a pass cannot be split: a hole

	Minutes graph.ID // min
	Wanted  graph.ID // 1/min, spindle speed that the cutting speed asks for
	VC      graph.ID // m/min
	moving  []move
	removal graph.ID // mm³/min, of a mill; else None
	slow    graph.ID // share of the feed left by the limits of the spindle; None where nothing limits
	slower  graph.ID // the part of it by which the power lowers the speed
	fewer   graph.ID // the part of it by which the torque lowers the feed of each turn
	stiff   graph.ID // share of the depth of cut that the overhang leaves; None where it limits nothing
	chip    graph.ID // mean chip ÷ thinnest chip that is cut; None where not known
	line    graph.ID // mm, width of the line that is engraved
	deep    graph.ID // mm, depth of the cone of a spot or countersink
}

// With writes the times of the feature cut by a tool at a work centre.
func (f *Feature) With(s graph.Scope, k *Cutter, centre *Centre, mat Material) *Cut {
	c := &Cut{Feature: f, s: s, k: k, centre: centre, mat: mat, Minutes: graph.None, Wanted: k.Wanted, VC: k.VC,
		removal: graph.None, slow: graph.None, line: graph.None, deep: graph.None, slower: graph.None, fewer: graph.None, stiff: graph.None, chip: graph.None}
	f.kind.cut(c)
	return c
}

// Caution says what is worth knowing of the kind of feature with this tool.
func (c *Cut) Caution() {
	if c.k.Kind == bom.BoringTool && c.Def.DepthOfCutMM == nil && c.k.Tool.Tool.Slender(c.Def) {
		c.s.Find(graph.Note, "overhang-depth", c.k.Name+" reaches deeper than four diameters of its bar in "+c.Def.Name+", the most for a bar of steel, so its passes are shallower")
	}
	if c.kind.caution != nil {
		c.kind.caution(c)
	}
}

// ends is twice the clearance.
func (c *Cut) ends() graph.ID {
	return c.s.Multiply("clearance-both", "clearance at both ends", c.s.Two(), c.clearance)
}

// cutDepth is the depth less what is left for finishing.
func (c *Cut) cutDepth(depth graph.ID) graph.ID {
	return graph.Or(c.s.By("M4").Subtract("cut-depth", "depth less the allowance", depth, c.allowance), depth)
}

// passes is how many passes a depth or width takes, by the most of one: at least
// one; one where no most is known. Rounded up (M4): part of a pass takes the time
// of a whole one.
func (c *Cut) passes(name, label string, all, most graph.ID) graph.ID {
	if most == graph.None {
		return graph.None
	}
	exact := c.s.By("M4").Divide(name+"-exact", label+" before rounding", all, most)
	return c.s.By("M4").Whole(name, label, exact)
}

// mostDepth is the deepest pass: stated by the feature, or of the cutting data for
// the reach it takes, and no deeper than the edge is long.
func (c *Cut) mostDepth() graph.ID {
	most := c.reachingDepth(c.k.Depth)
	// Not lowered for the reach: whoever states a depth has tried it. The edge binds
	// all the same.
	most = graph.Or(c.s.Optional("depth-of-cut", "deepest pass", graph.Mm, c.Def.DepthOfCutMM, "depth_of_cut_mm"), most)
	if c.k.CuttingLengthMM == nil {
		return most
	}
	edge := c.k.number("cutting-length", "length of the cutting edge", graph.Mm, c.k.CuttingLengthMM, "cutting_length_mm")
	return graph.Or(c.s.By("M4").Minimum("depth-of-cut-held", "deepest pass of the edge", most, edge), edge)
}

// reachingDepth is the deepest pass of an end mill or a boring bar that has to reach
// as deep as the feature. It bends with the cube of its overhang, so that beyond four
// diameters its pass falls with (4·D/depth)³ and bends it as far as at four. Source
// `length-of-cut`; four diameters of a bar of steel are read in source `bar-overhang`,
// of a mill they are common practice. It is taken to be held as short as the depth allows.
func (c *Cut) reachingDepth(most graph.ID) graph.ID {
	if most == graph.None || c.depth == graph.None || c.Def.DepthOfCutMM != nil || c.k.Kind != bom.EndMill && c.k.Kind != bom.BoringTool {
		return most
	}
	s := c.s.By("M4")
	free := s.Multiply("overhang-free", "overhang at which "+c.k.Name+" begins to bend", s.Four(), c.k.Tool.bar())
	share := s.Minimum("overhang-share", "that overhang ÷ depth, at most one", s.One(graph.Plain), s.Divide("overhang-ratio", "that overhang ÷ depth", free, c.depth))
	left := s.Multiply("overhang-left", "share of the depth of cut for this reach", share, share, share)
	// A contour may yet take the whole edge in a light cut; a check that names the reach
	// would then be wrong.
	if !c.kind.light {
		c.stiff = left
	}
	return s.Multiply("overhang-depth", "deepest pass for this reach", most, left)
}

// mostWidth is the widest pass: stated by the feature, or of the cutting data, or
// the diameter.
func (c *Cut) mostWidth() graph.ID {
	if c.Def.WidthOfCutMM != nil {
		return c.s.Number("width-of-cut", "widest pass", graph.Mm, *c.Def.WidthOfCutMM, "width_of_cut_mm")
	}
	if c.k.Data.Width != graph.None {
		return c.k.Data.Width
	}
	return c.k.Diameter()
}

// eachPass is the depth of one of several equal passes. Equal passes and not full
// ones with a thin last (M4): as many, and gentler.
func (c *Cut) eachPass(depth, passes graph.ID) graph.ID {
	return graph.Or(c.s.By("M4").Divide("pass-depth", "depth of each pass", depth, passes), depth)
}

// level is a depth cut in equal passes.
type level struct {
	passes graph.ID // None for one
	each   graph.ID // mm
	depth  graph.ID // mm in all
}

func (c *Cut) levels(depth, most graph.ID) level {
	n := c.passes("levels", "passes in depth", depth, most)
	return level{n, c.eachPass(depth, n), depth}
}

// remove writes the removal rate of a mill: depth × width × table feed.
func (c *Cut) remove(each, wide, table graph.ID) graph.ID {
	c.removal = c.s.By("M11").Multiply("removal", "removal rate", each, wide, table)
	return c.removal
}

// approach is the way from first touch to full width: √(x·(D − x)), x the radial
// width or depth (M6). Half the chord of the tool's circle at that depth: so far
// ahead the rim touches before the axis arrives.
func (c *Cut) approach(x graph.ID) graph.ID {
	s := c.s.By("M6")
	rest := s.Subtract("approach-rest", "diameter less that", c.k.Diameter(), x)
	return s.SquareRoot("approach", "approach", s.Multiply("approach-square", "approach, squared", x, rest))
}

// engagement gives where the mean chip of a width of cut is written: once for all
// features that take it from the cutting data. A width of the whole diameter is a
// full slot, given as None.
func (c *Cut) engagement(wide graph.ID) (graph.Scope, graph.ID) {
	switch {
	case c.Def.WidthOfCutMM != nil:
		return c.s, wide
	case c.k.Data.Width == graph.None:
		return c.k.Scope, graph.None
	}
	return c.k.Scope, wide
}

// standardOverrun is how far a tool runs out of a through hole that states no
// overrun.
const standardOverrun = 2

// out is the overrun of a through hole.
func (c *Cut) out() graph.ID {
	if c.overrun != graph.None || !c.Def.Through {
		return c.overrun
	}
	return c.s.Fixed("overrun", "overrun where none is stated", graph.Mm, bom.Whole(standardOverrun).Likely, reference.Cite("`machining-fundamentals`, chapter 42: 2 to 3 mm"))
}

// Times multiplies what exists: a count of None is one, and so is all of nothing. A
// factor of one would only be a line more in every proof.
func (c *Cut) Times(name, label string, args ...graph.ID) graph.ID {
	given := existing(args)
	switch len(given) {
	case 0:
		return graph.None
	case 1:
		return given[0]
	}
	return c.s.Multiply(name, label, given...)
}

// EdgeLife is the cutting time of an edge at the speed of this cut, shared by those
// that run at the speed of the cutter.
func (c *Cut) EdgeLife() graph.ID {
	at := c.s
	// On a lathe the speed goes by the diameter turned, so that the same tool lasts
	// differently in each feature.
	if c.Wanted == c.k.Wanted {
		at = c.k.Scope
	}
	return c.k.life(at, c.VC)
}

// feedTime is M3: path ÷ feed, slowed down where a limit of the spindle asks.
func (c *Cut) feedTime(path, feed graph.ID) {
	s := c.s.By("M3")
	feed = graph.Or(s.By("M12").Multiply("feed-held", "feed that the spindle can drive", feed, c.slow), feed)
	c.Minutes = s.Divide("path-time", "cutting time of one", path, feed)
}

func existing(ids []graph.ID) []graph.ID {
	out := make([]graph.ID, 0, len(ids))
	for _, id := range ids {
		if id != graph.None {
			out = append(out, id)
		}
	}
	return out
}
