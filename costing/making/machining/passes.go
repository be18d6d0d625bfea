package machining

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// layers are what a lathe takes off: passes of the deepest cut, and one finishing pass
// where a roughness is asked. None of a kind where there is none.
type layers struct {
	rough   graph.ID // mm in all
	step    graph.ID // mm, of each pass; None for one pass of all
	fine    graph.ID // mm
	deepest graph.ID // mm, the deeper of the two
}

// layers divides a depth. The allowance of a feature with a roughness is what its
// finishing pass takes; of any other it is left for another feature.
func (c *cut) layers(wall graph.ID) layers {
	s, most := c.s.By("M4"), c.mostDepth()
	l := layers{rough: wall, step: most, fine: graph.None}
	switch {
	case c.roughness == graph.None:
		l.rough = c.cutDepth(wall)
	case most == graph.None:
		return layers{rough: graph.None, step: graph.None, fine: wall, deepest: wall}
	case c.allowance != graph.None:
		l.fine = c.allowance
	default:
		usual := s.Fixed("finish-usual", "depth of a finishing pass where no allowance states it", graph.Mm, decimal.New(5, -1),
			"tool-maker turning, docs.steelcam.org/kyocera/osnovnoj-katalog-2016-2017-page214 and osnovnoj-katalog-kyocera-2021-2022-page301: 0.5 mm is the least finishing depth of the one, the most of the other")
		l.fine = s.Minimum("finish-depth", "depth of the finishing pass", usual, most, wall)
	}
	if l.fine != graph.None {
		l.rough = s.Subtract("rough-depth", "depth of the passes before", wall, l.fine)
	}
	l.deepest = l.rough
	if most != graph.None {
		l.deepest = s.Minimum("pass-depth", "depth of each pass", most, l.rough)
	}
	if l.fine != graph.None {
		l.deepest = s.Maximum("deepest-pass", "deepest pass", l.deepest, l.fine)
	}
	return l
}

// roughing is the number of passes of the deepest cut, each split into so many; None
// for one.
func (c *cut) roughing(l *layers, split graph.ID) graph.ID {
	if l.rough == graph.None {
		return graph.None
	}
	if split != graph.None && (l.step != graph.None || l.deepest != graph.None) {
		l.step = c.s.By("M12").Divide("pass-split", "depth of each split pass", or(l.step, l.deepest), split)
	}
	return c.passes("levels", "passes of the deepest cut", l.rough, l.step)
}

// allPasses counts the finishing pass too; None for one.
func (c *cut) allPasses(count graph.ID, l layers, split graph.ID) graph.ID {
	switch {
	case l.fine == graph.None:
		return count
	case l.rough == graph.None:
		return split
	}
	return c.s.By("M4").Add("passes", "passes, with the finishing pass", count, or(split, c.s.One(graph.Plain)))
}

// passes run at one surface speed, each by its own diameter: first, first − fall, …
type passes struct {
	*cut
	largest graph.ID // mm, at which the spindle turns at n
	n       graph.ID // 1/min
	first   graph.ID // mm
	fall    graph.ID // mm; None for one pass
	count   graph.ID // None for one pass
}

// turn is the time of a turn at a diameter: max(D/(largest·n), 1/n_max).
func (p passes) turn(name string, diameter graph.ID) graph.ID {
	s := p.s.By("M1")
	if diameter == p.largest {
		return s.Divide(name+"-turn", "time of a turn", s.One(graph.Plain), p.n)
	}
	free := s.Multiply(name+"-turn-free", "time of a turn at the surface speed", diameter, p.slope())
	if p.centre.spindleMax == graph.None {
		return free
	}
	return s.Maximum(name+"-turn", "time of a turn", free, p.shortest())
}

// slope is the time of a turn by mm of diameter.
func (p passes) slope() graph.ID {
	s := p.s.By("M1")
	if id := s.Lookup(s.Key("turn-slope")); id != graph.None {
		return id
	}
	return s.Divide("turn-slope", "time of a turn by diameter", s.One(graph.Plain), s.Multiply("turn-speed", "spindle speed × diameter", p.n, p.largest))
}

// shortest is the time of a turn at the highest speed of the spindle.
func (p passes) shortest() graph.ID {
	s := p.s.By("M1")
	if id := s.Lookup(s.Key("turn-shortest")); id != graph.None {
		return id
	}
	return s.Divide("turn-shortest", "time of a turn at the highest speed of the spindle", s.One(graph.Plain), p.centre.spindleMax)
}

// turns adds a turn of each pass up. The diameters fall evenly, so that those at the
// surface speed are an arithmetic series, M·first − fall·M·(M − 1)/2; M, the passes not
// below the diameter K at which the spindle turns at its highest speed, is
// floor((first − K)/fall) + 1, and the others take a turn at that speed each.
func (p passes) turns() graph.ID {
	if p.count == graph.None {
		return p.turn("rough", p.first)
	}
	s := p.s.By("M1")
	one, free := s.One(graph.Plain), p.count
	if p.centre.spindleMax != graph.None {
		change := s.Divide("change-diameter", "diameter below which the spindle turns at its highest speed", p.shortest(), p.slope())
		exact := s.Divide("free-exact", "passes before that diameter, before rounding", s.Subtract("free-way", "first diameter less that", p.first, change), p.fall)
		whole := s.Add("free-whole", "passes down to that diameter", s.Floor("free-floor", "rounded down", exact, one), one)
		free = s.Maximum("free-passes", "passes at the surface speed", s.Zero(graph.Plain), s.Minimum("free-most", "of those there are", whole, p.count))
	}
	pairs := s.Multiply("falls", "falls of the diameter in all", half(s), free, s.Subtract("free-less", "passes less one", free, one))
	sum := s.Subtract("diameters", "diameters of the passes at the surface speed, added up", s.Multiply("diameters-level", "passes × first diameter", free, p.first), s.Multiply("diameters-lost", "what they fall by", p.fall, pairs))
	time := s.Multiply("turns-free", "a turn of each at the surface speed", sum, p.slope())
	if free != p.count {
		time = s.SumProducts("turns", "a turn of each pass", one, time, s.Subtract("capped-passes", "passes at the highest speed of the spindle", p.count, free), p.shortest())
	}
	return time
}

// slowest notes the spindle speed that the smallest pass asks for, by which it is told
// where the spindle limits.
func (c *cut) slowest(p passes, finish graph.ID) {
	s := c.s.By("M1")
	smallest := finish
	if p.count != graph.None {
		last := s.Subtract("last-diameter", "diameter of the last pass", p.first, s.Multiply("last-fall", "fall up to it", p.fall, s.Subtract("count-less", "passes less one", p.count, s.One(graph.Plain))))
		smallest = s.Minimum("smallest-diameter", "diameter of the smallest pass", last, finish)
	}
	if smallest != p.largest {
		c.wanted = s.Divide("spindle-wanted-last", "spindle speed wanted at the smallest pass", s.Multiply("wanted-speed", "spindle speed × diameter wanted", c.wanted, p.largest), smallest)
	}
}

// revolve writes the time of the passes from their path ÷ spindle speed: those of the
// deepest cut at the feed of the cutting data, the finishing pass at that of the
// roughness, both no faster than the share of the feed that the spindle drives.
func (c *cut) revolve(rough, fine, share graph.ID) {
	s := c.s.By("M3")
	feed := c.k.feed
	if share != graph.None {
		feed = s.By("M12").Multiply("feed-held", "feed that the spindle can drive", feed, share)
	}
	if fine == graph.None {
		c.reached(c.k.feed)
		c.minutes = s.Divide("path-time", "cutting time of one", rough, feed)
		return
	}
	finest := feed
	if r := c.roughFeed(); r != graph.None {
		finest = s.By("M9").Minimum("feed-finishing", "feed for the roughness", feed, r)
	}
	c.reached(finest)
	last := s.Divide("finish-time", "time of the finishing pass", fine, finest)
	if rough != graph.None {
		rough = s.Divide("rough-time", "time of the passes before", rough, feed)
	}
	c.minutes = s.Sum("path-time", "cutting time of one", rough, last)
}
