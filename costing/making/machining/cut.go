package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// dims are the figures of a feature; None where the book gives no number.
type dims struct {
	count, length, width, depth  graph.ID
	diameter, to, path, corner   graph.ID
	slot, fin, pitch, starts     graph.ID
	peck, roughness, allowance   graph.ID
	clearance, overrun, backward graph.ID
}

// standardClearance is left before a cut where the feature states none.
const standardClearance = 2

func newDims(s graph.Scope, f *bom.Feature) dims {
	mm := func(name, label string, n *bom.Number, path string) graph.ID {
		return s.Optional(name, label, graph.Mm, n, path)
	}
	d := dims{
		count:     s.Optional("count", "features alike", graph.Plain, f.Count, "count"),
		length:    mm("length", "length", f.LengthMM, "length_mm"),
		width:     mm("width", "width", f.WidthMM, "width_mm"),
		depth:     mm("depth", "depth", f.DepthMM, "depth_mm"),
		diameter:  mm("diameter", "diameter", f.DiameterMM, "diameter_mm"),
		to:        mm("to-diameter", "diameter cut to", f.ToDiameterMM, "to_diameter_mm"),
		path:      mm("outline", "length along the path", f.PathMM, "path_mm"),
		corner:    mm("corner-radius", "corner radius", f.CornerRadiusMM, "corner_radius_mm"),
		slot:      mm("slot-width", "slot width", f.SlotWidthMM, "slot_width_mm"),
		fin:       mm("fin-width", "fin width", f.FinWidthMM, "fin_width_mm"),
		pitch:     mm("pitch", "thread pitch", f.PitchMM, "pitch_mm"),
		starts:    s.Optional("starts", "thread starts", graph.Plain, f.Starts, "starts"),
		peck:      mm("peck", "deepest peck", f.PeckMM, "peck_mm"),
		allowance: mm("allowance", "left for finishing", f.AllowanceMM, "allowance_mm"),
		clearance: mm("clearance", "clearance", f.ClearanceMM, "clearance_mm"),
		overrun:   mm("overrun", "overrun", f.OverrunMM, "overrun_mm"),
		backward:  s.Optional("return-factor", "speed out ÷ speed in", graph.Plain, f.ReturnFactor, "return_factor"),
	}
	d.roughness = s.Optional("rz-wanted", "roughness Rz wanted", graph.Micron, f.RzUM, "rz_um")
	if f.RaUM != nil {
		d.roughness = s.Number("ra-wanted", "roughness Ra wanted", graph.Micron, *f.RaUM, "ra_um")
	}
	if d.clearance == graph.None {
		d.clearance = s.Fixed("clearance", "clearance where none is stated", graph.Mm, bom.Whole(standardClearance).Likely, "common practice")
	}
	return d
}

// cut is one feature cut by one tool.
type cut struct {
	dims
	s       graph.Scope // …/feature/F/with/T
	feature graph.Scope // …/feature/F
	f       *bom.Feature
	k       *cutter
	centre  *centre
	mat     material
	// slots is the number of slots of an array.
	slots graph.ID
	// achieved is roughness measured ÷ theoretical.
	achieved graph.ID
	whole    bool // a pass cannot be split: a hole

	// What the cut takes, for one feature.
	minutes graph.ID // min
	removal graph.ID // mm³/min, of a mill; else None
	moving  []move
	wanted  graph.ID // 1/min, spindle speed that the cutting speed asks for
	vc      graph.ID // m/min
	slow    graph.ID // share of the feed left by the limits of the spindle; None where nothing limits
	line    graph.ID // mm, width of the line that is engraved
	slower  graph.ID // the part of it by which the power lowers the speed
	fewer   graph.ID // the part of it by which the torque lowers the feed of each turn
	stiff   graph.ID // share of the depth of cut that the overhang leaves; None where it limits nothing
	chip    graph.ID // mean chip ÷ thinnest chip that is cut; None where not known
}

// write writes the times of the feature by its kind.
func (c *cut) write() {
	c.wanted, c.vc = c.k.wanted, c.k.vc
	switch c.f.Kind {
	case bom.Face:
		c.face()
	case bom.Contour:
		c.contour()
	case bom.Pocket:
		c.pocket()
	case bom.Slot, bom.SlotArray:
		c.slotted()
	case bom.Drill:
		c.drill()
	case bom.Tap:
		c.tap()
	case bom.ThreadMill:
		c.threadMill()
	case bom.Chamfer:
		c.chamfer()
	case bom.Engrave:
		c.engrave()
	case bom.FinishFace:
		c.finishFace()
	case bom.Turn, bom.Bore:
		c.turn()
	case bom.FaceTurn, bom.PartOff:
		c.inward()
	}
}

// ends is twice the clearance.
func (c *cut) ends() graph.ID {
	return c.s.Multiply("clearance-both", "clearance at both ends", two(c.s), c.clearance)
}

// cutDepth is the depth less what is left for finishing.
func (c *cut) cutDepth(depth graph.ID) graph.ID {
	if c.allowance == graph.None {
		return depth
	}
	return c.s.By("M4").Subtract("cut-depth", "depth less the allowance", depth, c.allowance)
}

// passes is how many passes a depth or width takes, by the most of one: at least
// one; one where no most is known.
func (c *cut) passes(name, label string, all, most graph.ID) graph.ID {
	if most == graph.None {
		return graph.None
	}
	exact := c.s.By("M4").Divide(name+"-exact", label+" before rounding", all, most)
	return c.s.By("M4").Whole(name, label, exact)
}

// mostDepth is the deepest pass: stated by the feature, or of the cutting data for
// the reach it takes, and no deeper than the edge is long.
func (c *cut) mostDepth() graph.ID {
	most := c.reachingDepth(c.k.depth)
	if c.f.DepthOfCutMM != nil {
		most = c.s.Number("depth-of-cut", "deepest pass", graph.Mm, *c.f.DepthOfCutMM, "depth_of_cut_mm")
	}
	if c.k.CuttingLengthMM == nil {
		return most
	}
	edge := c.k.number("cutting-length", "length of the cutting edge", graph.Mm, c.k.CuttingLengthMM, "cutting_length_mm")
	if most == graph.None {
		return edge
	}
	return c.s.By("M4").Minimum("depth-of-cut-held", "deepest pass of the edge", most, edge)
}

// reachingDepth is the deepest pass of an end mill or a boring bar that has to reach
// as deep as the feature. It bends with the cube of its overhang, so that beyond four
// diameters its pass falls with (4·D/depth)³ and bends it as far as at four. Source:
// M4; tool-maker's course "Length of cut", mmc-carbide.com/permanent/courses/70; four
// diameters of a bar of steel: docs.steelcam.org/widia/obshij-katalog-widia-2017-page376,
// of a mill common practice. It is taken to be held as short as the depth allows.
func (c *cut) reachingDepth(most graph.ID) graph.ID {
	if most == graph.None || c.depth == graph.None || c.f.DepthOfCutMM != nil || c.k.Kind != bom.EndMill && c.k.Kind != bom.BoringTool {
		return most
	}
	s := c.s.By("M4")
	free := s.Multiply("overhang-free", "overhang at which "+c.k.Name+" begins to bend", four(s), c.k.tool.bar())
	share := s.Minimum("overhang-share", "that overhang ÷ depth, at most one", s.One(graph.Plain), s.Divide("overhang-ratio", "that overhang ÷ depth", free, c.depth))
	left := s.Multiply("overhang-left", "share of the depth of cut for this reach", share, share, share)
	if c.f.Kind != bom.Contour { // a light cut along a side takes the whole edge
		c.stiff = left
	}
	return s.Multiply("overhang-depth", "deepest pass for this reach", most, left)
}

// mostWidth is the widest pass: stated by the feature, or of the cutting data, or
// the diameter.
func (c *cut) mostWidth() graph.ID {
	if c.f.WidthOfCutMM != nil {
		return c.s.Number("width-of-cut", "widest pass", graph.Mm, *c.f.WidthOfCutMM, "width_of_cut_mm")
	}
	if c.k.data.width != graph.None {
		return c.k.data.width
	}
	return c.k.diameter()
}

// eachPass is the depth of one of several equal passes.
func (c *cut) eachPass(depth, passes graph.ID) graph.ID {
	if passes == graph.None {
		return depth
	}
	return c.s.By("M4").Divide("pass-depth", "depth of each pass", depth, passes)
}

// times multiplies what exists: a count of None is one, and so is all of nothing.
func (c *cut) times(name, label string, args ...graph.ID) graph.ID {
	given := existing(args)
	switch len(given) {
	case 0:
		return graph.None
	case 1:
		return given[0]
	}
	return c.s.Multiply(name, label, given...)
}

// feedTime is M3: path ÷ feed, slowed down where a limit of the spindle asks.
func (c *cut) feedTime(path, feed graph.ID) {
	s := c.s.By("M3")
	if c.slow != graph.None {
		feed = s.By("M12").Multiply("feed-held", "feed that the spindle can drive", feed, c.slow)
	}
	c.minutes = s.Divide("path-time", "cutting time of one", path, feed)
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

func or(a, b graph.ID) graph.ID {
	if a != graph.None {
		return a
	}
	return b
}
