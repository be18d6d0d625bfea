package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// cutterKey names what tools share between features: speeds and feeds that no
// feature overrides.
type cutterKey struct {
	centre, tool, material bom.ID
	kind                   bom.FeatureKind
}

// cutter is a tool at work in a material at a work centre. Figures that depend on
// the diameter turned are None for a turning tool; see [cut.spin].
type cutter struct {
	tool
	data
	s      graph.Scope // shared by features, or of one that overrides a figure
	wanted graph.ID    // 1/min, spindle speed that the cutting speed asks for
	n      graph.ID    // 1/min
	vc     graph.ID    // m/min at n
	table  graph.ID    // mm/min
}

// cutter gives the tool at work on a feature. Where the feature states a speed or
// feed of its own, the figures are its own too.
func (m *Shop) cutter(s graph.Scope, t tool, c *centre, mat material, f *bom.Feature) *cutter {
	if f.SpeedMMin != nil || f.FeedMM != nil || f.RzUM != nil || f.RaUM != nil {
		k := &cutter{tool: t, data: m.data(s.By("M2"), t, mat, f.Kind), s: s}
		if f.SpeedMMin != nil {
			k.speed = s.Number("speed-wanted", "cutting speed wanted", graph.Metre.Per(graph.Minute), *f.SpeedMMin, "speed_m_min")
		}
		if f.FeedMM != nil {
			k.feed = s.Number("feed", "feed", graph.Mm, *f.FeedMM, "feed_mm")
		}
		k.turns(c)
		return k
	}
	key := cutterKey{c.def.ID, t.ID, mat.id, f.Kind}
	if k, ok := m.cutters[key]; ok {
		return k
	}
	at := m.root.In("cut", string(key.centre), string(key.tool), string(key.material), string(key.kind)).
		From(graph.Source{Where: "tool " + t.Name + " in " + mat.label}).Of(t.Name + " in " + mat.label)
	k := &cutter{tool: t, data: m.data(at.By("M2"), t, mat, f.Kind), s: at}
	k.turns(c)
	m.cutters[key] = k
	return k
}

// turns writes M1 and M2 of a tool that turns.
func (k *cutter) turns(c *centre) {
	k.wanted, k.n, k.vc, k.table = graph.None, graph.None, graph.None, graph.None
	if !k.Kind.Rotates() {
		k.s.By("M2").Sum("feed-revolution", "feed per revolution", k.feed)
		return
	}
	if k.speed == graph.None {
		return
	}
	k.wanted, k.n, k.vc = spin(k.s, c, k.speed, k.diameter())
	switch k.Kind {
	case bom.DrillTool, bom.TapTool:
		k.table = k.s.By("M2").Multiply("table-feed", "feed", k.feed, k.n)
	default:
		k.table = k.s.By("M2").Multiply("table-feed", "table feed", k.feed, k.teeth(), k.n)
	}
}

// spin is M1: n = min(1000·vc/(π·D), n_max); the speed is worked out again where n
// is held down.
func spin(s graph.Scope, c *centre, speed, diameter graph.ID) (wanted, n, vc graph.ID) {
	s = s.By("M1")
	around := s.Multiply("circumference", "circumference", pi(s), diameter)
	wanted = s.Divide("spindle-wanted", "spindle speed wanted", s.Convert("speed-mm", "cutting speed in mm/min", speed, graph.Metre, graph.Mm), around)
	if c.spindleMax == graph.None {
		return wanted, s.Sum("spindle-speed", "spindle speed", wanted), s.Sum("speed", "cutting speed", speed)
	}
	n = s.Minimum("spindle-speed", "spindle speed", wanted, c.spindleMax)
	reached := s.Multiply("speed-reached-mm", "cutting speed reached, in mm/min", around, n)
	return wanted, n, s.Convert("speed", "cutting speed", reached, graph.Mm, graph.Metre)
}

// life is the cutting time of an edge at a speed: entered, or by Taylor
// T = (C/V)^(1/n), C the speed of an edge that lasts one minute.
func (k *cutter) life(s graph.Scope, vc graph.ID) graph.ID {
	if k.LifeMin != nil {
		return k.number("life", "cutting time of an edge", graph.Minute, k.LifeMin, "life_min")
	}
	if k.TaylorN == nil || k.TaylorC == nil {
		return graph.None
	}
	if id := s.Lookup(s.Key("edge-life")); id != graph.None {
		return id
	}
	s = s.By("M13")
	c, exponent := k.taylor()
	ratio := s.Divide("life-ratio", "speed of an edge that lasts a minute ÷ speed", c, vc)
	minutes := s.Power("life-minutes", "cutting time of an edge, a plain number", ratio, exponent)
	return s.Multiply("edge-life", "cutting time of an edge", minutes, s.One(graph.Minute))
}

// taylor gives C and 1/n.
func (k *cutter) taylor() (c, exponent graph.ID) {
	c = k.number("taylor-c", "speed at which an edge lasts one minute, C", graph.Metre.Per(graph.Minute), k.TaylorC, "taylor_c")
	n := k.number("taylor-n", "exponent of tool life, n", graph.Plain, k.TaylorN, "taylor_n")
	if id := k.tool.s.Lookup(k.tool.s.Key("taylor-exponent")); id != graph.None {
		return c, id
	}
	return c, k.tool.s.By("M13").Divide("taylor-exponent", "1 ÷ n", k.tool.s.One(graph.Plain), n)
}

// economicSpeeds offers the speed of least cost and that of least time; nothing is
// cut at them unless they are entered. T* = (1/n − 1)·(change + edge cost ÷ cost
// of a minute), V = C ÷ Tⁿ; for least time the edge is free. Source: lesson
// "economics of machining" of the sheet, worked examples L01, L02 and L07.
func (k *cutter) economicSpeeds(s graph.Scope, minute, edgeCost graph.ID) {
	if k.TaylorN == nil || k.TaylorC == nil || k.EdgeChangeMin == nil || s.Lookup(s.Key("fastest-life")) != graph.None {
		return
	}
	s = s.By("M13").Of(k.Name)
	c, exponent := k.taylor()
	n := k.number("taylor-n", "exponent of tool life, n", graph.Plain, k.TaylorN, "taylor_n")
	less := s.Subtract("life-factor", "1/n − 1", exponent, s.One(graph.Plain))
	at := func(name, label string, minutes graph.ID) {
		life := s.Multiply(name+"-life", "tool life of "+label, less, minutes)
		plain := s.Divide(name+"-life-minutes", "tool life of "+label+", a plain number", life, s.One(graph.Minute))
		s.Divide(name+"-speed", "speed of "+label, c, s.Power(name+"-power", "tool life of "+label+" to the power n", plain, n))
	}
	at("fastest", "least time", k.edgeChange())
	if minute != graph.None && edgeCost != graph.None && s.Unit(minute) == s.Unit(edgeCost).Per(graph.Minute) {
		worth := s.Divide("edge-minutes", "minutes that an edge costs", edgeCost, minute)
		at("economic", "least cost", s.Add("edge-time", "change and cost of an edge, in minutes", k.edgeChange(), worth))
	}
}
