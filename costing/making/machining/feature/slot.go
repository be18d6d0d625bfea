package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

var slot = Kind{cut: func(c *Cut) { c.slotted(c.width) }, size: within,
	shape: func(b body) (removed, area graph.ID) { return b.walls(b.width, b.s.One(graph.Plain)) }}

// slotted cuts a slot, or the slots of an array, open at both ends: path = slots ×
// levels × side × (length + approach + clearances). A saw of width b takes
// ceil(slot/b) passes beside one another and approaches by √(ap·(D − ap)); a mill
// takes ceil((slot − D)/ae) + 1 and approaches by its diameter. Own arithmetic.
func (c *Cut) slotted(wide graph.ID) {
	l, both := c.levels(c.cutDepth(c.depth), c.mostDepth()), c.ends()
	var side, approach, split graph.ID
	if c.k.Kind == bom.SlittingSaw {
		// A saw stands on edge: its radial width of cut is the depth of the slot, its axial
		// one the thickness of the blade, which cannot cut sideways.
		side = c.passes("side", "passes beside one another", wide, c.k.Tool.width())
		approach = c.approach(l.each)
		split = c.load(c.remove(l.each, c.k.Tool.width(), c.k.table), c.k.engaged(c.s, l.each, c.k.Feed), c.k.n, c.s)
	} else {
		// Every pass counts as a full slot, which the first is; the approach is that of a
		// full slot too (M5).
		side, approach = c.milledSides(wide), c.k.Diameter()
		split = c.load(c.remove(l.each, c.k.Diameter(), c.k.table), c.k.engaged(c.k.Scope, graph.None, c.k.Feed), c.k.n, c.k.Scope)
	}
	s := c.s.By("M5")
	one := s.Add("travel", "travel of one pass", c.length, approach, both)
	count := c.Times("passes", "passes", c.slots, l.passes, split, side)
	c.feedTime(c.Times("path", "path", count, one), c.k.table)
	// All passes in one direction, so that each slot is cut alike (M5).
	c.moves(c.s, "back", "way back of one pass", count, one)
	c.moves(c.Feature.Scope, "lift", "way out of the slot, or into it", c.Times("lifts", "ways out and in", s.Two(), count), c.depth)
	if c.slots != graph.None {
		c.moves(c.Feature.Scope, "across", "way across the array", graph.None, c.width)
	}
}

func (c *Cut) milledSides(wide graph.ID) graph.ID {
	s := c.s.By("M5")
	spare := s.Subtract("side-spare", "slot less the diameter", wide, c.k.Diameter())
	further := s.Whole("side-further", "further passes", s.Divide("side-exact", "further passes before rounding", spare, c.mostWidth()))
	return s.Add("side", "passes beside one another", further, s.One(graph.Plain))
}

// walls of a slot: it length gains two walls and loses two openings at its ends:
// 2·h·(L − s). Own arithmetic.
func (b body) walls(wide, n graph.ID) (removed, area graph.ID) {
	s, depth := b.s, b.cutDepth()
	beyond := s.Subtract("wall-less", "length less the slot width", b.length, wide)
	return s.Multiply("removed-one", "volume", n, b.length, wide, depth), s.Multiply("area-one", "surface gained", s.Two(), n, depth, beyond)
}

var slotArray = Kind{
	before: func(f *Feature) { f.slots = f.array(f.Scope.By("M5"), f.Def.OpenEdges) },
	cut:    func(c *Cut) { c.slotted(c.slot) },
	shape:  func(b body) (removed, area graph.ID) { return b.walls(b.slot, b.slots) },
	size:   func(f *Feature) (room graph.ID, compare graph.Comparison) { return f.slot, graph.LessOrEqual },
}

// array is M5: n = floor((W − f)/(s + f)), with a fin at both edges, or floor((W +
// f)/(s + f)) where the outermost slots are open; fins and leftover are for
// display.
func (d *Feature) array(s graph.Scope, open bool) graph.ID {
	pitch := s.Add("slot-pitch", "slot and fin", d.slot, d.fin)
	var room graph.ID
	if open {
		room = s.Add("slot-room", "width and a fin", d.width, d.fin)
	} else {
		room = s.Subtract("slot-room", "width less a fin", d.width, d.fin)
	}
	one := s.One(graph.Plain)
	// What is left over is not spread: slot and fin are dimensions on a drawing.
	floor := s.Floor("slots-floor", "slots, rounded down", s.Divide("slots-exact", "slots before rounding", room, pitch), one)
	n := s.Maximum("slots", "slots", floor, s.Zero(graph.Plain))
	var fins graph.ID
	if open {
		fins = s.Subtract("fins", "fins", n, one)
	} else {
		fins = s.Add("fins", "fins", n, one)
	}
	used := s.SumProducts("array-used", "width taken by slots and fins", n, d.slot, fins, d.fin)
	s.Subtract("leftover", "width left over", d.width, used)
	s.Check("array-holds-one", "the array has room for a slot", n, graph.GreaterOrEqual, one)
	return n
}
