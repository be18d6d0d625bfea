package feature

import (
	"kerfbook/costing/graph"
)

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
