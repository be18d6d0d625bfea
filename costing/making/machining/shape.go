package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// slots is M5: n = floor((W − f)/(s + f)), with a fin at both edges, or floor((W +
// f)/(s + f)) where the outermost slots are open; fins and leftover are for
// display. K35, K36.
func slots(s graph.Scope, d dims, open bool) graph.ID {
	pitch := s.Add("slot-pitch", "slot and fin", d.slot, d.fin)
	var room graph.ID
	if open {
		room = s.Add("slot-room", "width and a fin", d.width, d.fin)
	} else {
		room = s.Subtract("slot-room", "width less a fin", d.width, d.fin)
	}
	one := s.One(graph.Plain)
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

// volumes writes what the feature takes away, and the surface it adds (sheet
// section 6.3); figures of all features alike, by piece.
func (w *work) volumes(p picker) {
	b := body{s: w.s.By("S4"), d: w.d, f: w.f, slots: w.slots, pick: p}
	removed, area := b.shape()
	if b.f.Kind == bom.Pocket {
		rate := p.of("removal", "removal rate", func(c candidate) graph.ID { return c.removal })
		w.s.By("M11").Divide("least-time", "least cutting time of one at this removal rate", removed, rate)
	}
	if removed != graph.None {
		w.sums.removed = append(w.sums.removed, b.all("removed", "volume taken away", removed))
	}
	if area != graph.None {
		w.sums.area = append(w.sums.area, b.all("area", "surface gained", area))
	}
}

// body is the shape of a feature.
type body struct {
	s     graph.Scope
	d     dims
	f     *bom.Feature
	slots graph.ID
	pick  picker
}

// all is a figure of all features alike, under one key whatever their number.
func (b body) all(name, label string, one graph.ID) graph.ID {
	if b.d.count == graph.None {
		return b.s.Sum(name, label, one)
	}
	return b.s.Multiply(name, label, one, b.d.count)
}

// shape gives volume in mm³ and surface gained in mm² of one feature; None where
// the kind changes neither, or too little to count.
func (b body) shape() (removed, area graph.ID) {
	s, d := b.s, b.d
	switch b.f.Kind {
	case bom.Face:
		return b.block()
	case bom.FinishFace:
		if d.depth != graph.None {
			return b.block()
		}
	case bom.Contour:
		if d.width != graph.None {
			return s.Multiply("removed-one", "volume", d.path, d.width, b.cutDepth()), graph.None
		}
	case bom.Pocket:
		return b.pocket()
	case bom.Slot:
		return b.slot(d.width, s.One(graph.Plain))
	case bom.SlotArray:
		return b.slot(d.slot, b.slots)
	case bom.Drill:
		return b.hole()
	case bom.Chamfer:
		if d.width != graph.None {
			return s.Multiply("removed-one", "volume", d.path, d.width, d.width, half(s)), graph.None
		}
	case bom.Turn, bom.Bore, bom.FaceTurn:
		return b.turned()
	}
	return graph.None, graph.None
}

// cutDepth is the depth less what is left for finishing.
func (b body) cutDepth() graph.ID {
	if b.d.allowance == graph.None {
		return b.d.depth
	}
	return b.s.Subtract("removed-depth", "depth less the allowance", b.d.depth, b.d.allowance)
}

// block is a whole face taken down: the sides lose its height.
func (b body) block() (removed, area graph.ID) {
	s, depth := b.s, b.cutDepth()
	around := s.Add("around", "half the way round the face", b.d.length, b.d.width)
	lost := s.Multiply("sides-lost", "surface of the sides lost", two(s), around, depth)
	return s.Multiply("removed-one", "volume", b.d.length, b.d.width, depth), s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), lost)
}

// pocket has rounded corners, of the radius stated or of the tool: V = (L·W −
// (4 − π)·R²)·H; its floor stands for the top lost, its wall is gained.
func (b body) pocket() (removed, area graph.ID) {
	s, depth := b.s, b.cutDepth()
	r := b.d.corner
	if r == graph.None {
		r = s.Multiply("corner", "radius of the tool", half(s), b.pick.of("corner-diameter", "diameter of the tool", func(c candidate) graph.ID { return c.k.diameter() }))
	}
	rest := s.Subtract("corner-rest", "4 − π", four(s), pi(s))
	floor := s.Subtract("floor", "floor", s.Multiply("floor-square", "length × width", b.d.length, b.d.width), s.Multiply("corners", "corners left", rest, r, r))
	twice := s.Multiply("corner-turn", "twice (4 − π) × radius", two(s), rest, r)
	around := s.Subtract("around", "way round the wall", s.SumProducts("around-square", "way round, with corners", two(s), b.d.length, two(s), b.d.width), twice)
	return s.Multiply("removed-one", "volume", floor, depth), s.Multiply("area-one", "surface gained", around, depth)
}

// slot along the whole length gains two walls and loses two openings at its ends:
// 2·h·(L − s). Source: sheet section 6.3.
func (b body) slot(wide, n graph.ID) (removed, area graph.ID) {
	s, depth := b.s, b.cutDepth()
	beyond := s.Subtract("wall-less", "length less the slot width", b.d.length, wide)
	return s.Multiply("removed-one", "volume", n, b.d.length, wide, depth), s.Multiply("area-one", "surface gained", two(s), n, depth, beyond)
}

// hole gains its wall; a through hole loses two openings, a blind one gains the
// floor it loses above: π·d·l − π·d²/2, π·d·l. Source: sheet section 6.3; F07. The
// point of the drill is left out.
func (b body) hole() (removed, area graph.ID) {
	s, d := b.s, b.d.diameter
	quarter := fixed(s, "quarter", "one quarter", "0.25", "definition")
	wall := s.Multiply("wall", "wall of the hole", pi(s), d, b.d.depth)
	removed = s.Multiply("removed-one", "volume", quarter, d, wall)
	if !b.f.Through {
		return removed, wall
	}
	return removed, s.Subtract("area-one", "surface gained", wall, s.Multiply("openings", "openings", half(s), pi(s), d, d))
}

// turned is a ring taken off a length, a hole or a face.
func (b body) turned() (removed, area graph.ID) {
	s, long := b.s, b.d.length
	large, small := b.d.diameter, or(b.d.to, s.Zero(graph.Mm))
	switch b.f.Kind {
	case bom.Bore:
		large, small, long = small, large, b.d.depth
	case bom.FaceTurn:
		if long = b.d.depth; long == graph.None {
			return graph.None, graph.None
		}
	}
	if b.d.allowance != graph.None && b.d.roughness == graph.None { // what is left stands proud of both walls
		left := s.Multiply("allowance-both", "allowance on both sides", two(s), b.d.allowance)
		if b.f.Kind == bom.Turn {
			small = s.Add("left-diameter", "diameter left", small, left)
		} else if b.f.Kind == bom.Bore {
			large = s.Subtract("left-diameter", "diameter left", large, left)
		} else {
			long = b.cutDepth()
		}
	}
	ring := s.Multiply("ring", "ring taken off", fixed(s, "quarter", "one quarter", "0.25", "definition"), pi(s),
		s.Subtract("ring-squares", "difference of the squares of the diameters", s.Multiply("large-square", "larger diameter, squared", large, large), s.Multiply("small-square", "smaller diameter, squared", small, small)))
	removed = s.Multiply("removed-one", "volume", ring, long)
	if b.f.Kind == bom.FaceTurn {
		return removed, s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), s.Multiply("side-lost", "surface of the side lost", pi(s), large, long))
	}
	wall := s.Multiply("wall-change", "change of the wall", pi(s), s.Subtract("wall-diameters", "difference of the diameters", large, small), long)
	switch {
	case b.f.Kind == bom.Turn:
		return removed, s.Subtract("area-one", "surface gained", s.Zero(graph.Mm.Power(2)), wall)
	case b.f.Through:
		return removed, s.Subtract("area-one", "surface gained", wall, s.Multiply("openings", "openings", two(s), ring))
	}
	return removed, wall
}
