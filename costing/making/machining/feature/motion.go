package feature

import (
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// move is a way at the rapid rate that begins and ends at rest, so many times; once
// where times is None.
type move struct{ times, time graph.ID }

// travel gives the time of a way from rest to rest: s/v + v/a, or 2·√(s/a) where it
// is shorter than v²/a and the full speed v is not reached; without an acceleration
// s/v. It is None without a rapid rate. Own arithmetic. A ramp to v takes v/a and
// covers half of what v would: both together cost v/a on top, and need v²/a of way.
func (c *Centre) travel(s graph.Scope, name, label string, way graph.ID) graph.ID {
	if c.rapid == graph.None || way == graph.None {
		return graph.None
	}
	if id := s.Known(name + "-time"); id != graph.None {
		return id
	}
	s = s.By("M14")
	if c.acceleration == graph.None {
		return s.Divide(name+"-time", label, way, c.rapid)
	}
	full := s.Add(name+"-long", label+", reaching the full speed", s.Divide(name+"-even", label+" at the full speed", way, c.rapid), c.rampTime)
	short := s.Multiply(name+"-short", label+", not reaching the full speed", s.Two(),
		s.SquareRoot(name+"-half", "half of it", s.Divide(name+"-square", "half of it, squared", way, c.acceleration)))
	return s.Choose(name+"-time", label, way, graph.GreaterOrEqual, c.rampWay, full, short)
}

// motion reads what moves of the work centre rest on, and says what is not entered.
func (c *Centre) motion() {
	s, w := c.s, c.Def
	c.rapid = s.Optional("rapid", "speed of rapid moves", graph.Mm.Per(graph.Minute), w.RapidMMMin, "rapid_mm_min")
	entered := s.Optional("acceleration-m-s2", "acceleration of rapid moves", graph.Metre.Per(graph.Second.Power(2)), w.AccelerationMS2, "acceleration_m_s2")
	// In minutes, as all times of a piece; machine makers state m/s².
	c.acceleration = s.Convert("acceleration", "acceleration, in mm/min²", s.Convert("acceleration-mm-s2", "acceleration, in mm/s²", entered, graph.Metre, graph.Mm), graph.Second, graph.Minute)
	c.rampTime = s.By("M14").Divide("ramp-time", "time to the full speed", c.rapid, c.acceleration)
	c.rampWay = s.By("M14").Multiply("ramp-way", "way to the full speed and to rest again", c.rapid, c.rampTime)
	c.settling = inMinutes(s, "settling", "coming to rest at a position", w.SettlingS, "settling_s")
	approach := s.Optional("approach", "way of a tool to each feature", graph.Mm, w.ApproachMM, "approach_mm")
	c.approach = c.travel(s, "approach", "approach of each feature", approach)
	var missing []string
	for _, f := range []struct {
		name  string
		value *bom.Number
	}{{"rapid_mm_min", w.RapidMMMin}, {"acceleration_m_s2", w.AccelerationMS2}, {"settling_s", w.SettlingS}, {"approach_mm", w.ApproachMM}, {"tool_change_s", w.ToolChangeS}} {
		if f.value == nil {
			missing = append(missing, f.name)
		}
	}
	if len(missing) > 0 {
		s.Find(graph.Note, "rapid", w.Name+" has no "+strings.Join(missing, ", ")+", so not all that moves between cuts, features and tools take is worked out; enter them")
	}
}

// moves adds moves of one length, each named after its way.
func (c *Cut) moves(s graph.Scope, name, label string, times, way graph.ID) {
	if time := c.centre.travel(s, name, label, way); time != graph.None {
		c.moving = append(c.moving, move{times, time})
	}
}

// inAndOut is the way down to the cut and out again, so many times.
func (c *Cut) inAndOut(depth, times graph.ID) {
	s := c.Feature.Scope.By("M14")
	// The way is of the feature and the same for every tool that may cut it.
	way := s.Sum("in", "way in", c.clearance, depth)
	c.moves(s, "in", "way in", c.Times("ways-in-and-out", "ways in and out", s.Two(), times), way)
}

// Moved is the time of all moves of one feature.
func (c *Cut) Moved() graph.ID {
	s := c.s.By("M14")
	var pairs []graph.ID
	for _, m := range c.moving {
		pairs = append(pairs, graph.Or(m.times, s.One(graph.Plain)), m.time)
	}
	if len(pairs) == 0 {
		return graph.None
	}
	return s.SumProducts("moving", "moves of one that do not cut", pairs...)
}

// Between is the time of the ways to and between the features alike: an approach,
// the spacing to each further one, and coming to rest at each.
func (f *Feature) Between(c *Centre) graph.ID {
	s := f.Scope.By("M14")
	further := graph.None
	switch {
	case f.Def.Count == nil || c.rapid == graph.None:
	case f.Def.SpacingMM == nil:
		f.Scope.Find(graph.Note, "count", f.Def.Name+": the ways from one to the next are not counted, since spacing_mm is not entered")
	default:
		way := s.Number("spacing", "way from one to the next", graph.Mm, *f.Def.SpacingMM, "spacing_mm")
		time := c.travel(s, "spacing", "way from one to the next", way)
		// One way fewer than there are features: the approach leads to the first.
		further = s.Multiply("further", "ways from one to the next", s.Subtract("further-count", "further ones", f.Count, s.One(graph.Plain)), time)
	}
	rest := graph.Or(s.Multiply("settled", "coming to rest at each", f.Count, c.settling), c.settling)
	return s.Sum("between", "ways to and between them", c.approach, further, rest)
}
