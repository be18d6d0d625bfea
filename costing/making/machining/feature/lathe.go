package feature

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
)

// along turns a length smaller, or bores a hole larger. Passes of the deepest cut
// begin at the largest diameter, each at the surface speed of the cutting data by
// its own diameter before the cut (of a bore, after it), up to the highest speed of
// the spindle: t = Σ (length + clearance + overrun)/(f·nᵢ). With a roughness the
// last pass is a finish. Source `machining-time-lesson`, source `turning-formulas`.
// The removal rate is that of the largest pass at its mean diameter,
// π·(D − ap)·ap·f·n, as in source `rod-turning-item`; where it needs more power than
// there is, the surface speed of all passes falls, so that none does. A bore is
// widened from inside, but a sum does not mind the order: its passes are counted
// from the largest diameter too, so that one series serves both.
func (c *Cut) along(large, small, length graph.ID, bores bool) {
	s := c.s.By("M4")
	n := graph.None
	c.Wanted, n, c.VC = spin(c.s, c.centre, c.k.Speed, large)
	wall := s.Multiply("turned-depth", "depth turned off", s.Half(), s.Subtract("turned-both", "difference of the diameters", large, small))
	l := c.layers(wall)
	mean := c.s.By("M11").Subtract("mean-diameter", "mean diameter of the largest pass", large, l.deepest)
	removal := c.s.By("M11").Multiply("removal", "removal rate", s.Pi(), mean, l.deepest, c.k.Feed, n)
	split := c.load(removal, c.k.Feed, n, c.s)
	n = graph.Or(c.s.By("M12").Multiply("spindle-held", "spindle speed that the power drives", n, c.slower), n)
	series := passes{Cut: c, largest: large, n: n, first: large, fall: graph.None, count: c.roughing(&l, split)}
	// The finish of a shaft turns at what roughing leaves, that of a bore at the size
	// wanted: at the larger of both sides of the cut the surface speed has to hold.
	finish := large
	switch left := graph.Or(l.fine, c.allowance); {
	case !bores && l.fine != graph.None:
		finish = s.SumProducts("finish-diameter", "diameter before the finishing pass", s.One(graph.Plain), small, s.Two(), l.fine)
	case bores && left != graph.None:
		series.first = s.Subtract("rough-diameter", "diameter after roughing", large, s.Multiply("left-both", "left on both sides", s.Two(), left))
	}
	travel := c.s.By("M3").Sum("pass-path", "path of one pass", length, c.clearance, c.out())
	rough, fine := graph.None, graph.None
	if l.rough != graph.None {
		if l.step != graph.None {
			series.fall = s.Multiply("pass-fall", "fall of the diameter by a pass", s.Two(), l.step)
		}
		rough = c.s.By("M3").Multiply("rough-turns", "path ÷ spindle speed of the passes", travel, series.turns())
	}
	if l.fine != graph.None {
		fine = c.Times("finish-turns", "path ÷ spindle speed of the finishing pass", travel, series.turn("finish", finish), split)
	}
	c.slowest(series, finish)
	// Only the share that torque takes: what power takes is in n already.
	c.revolve(rough, fine, c.fewer)
	c.moves(c.s, "back", "way back of one pass", c.allPasses(series.count, l, split), travel)
}

// inward faces, or parts off, from outside to inside at constant surface speed:
// t = π·(Do² − Di²)/(4000·f·vc); below the diameter 1000·vc/(π·n_max) the spindle
// turns at n_max: t = (Dk − Di)/(2·f·n_max). With a roughness the last pass of a face
// is a finish. Own arithmetic.
func (c *Cut) inward(layersOf func(inner graph.ID) layers) {
	s := c.s.By("M3")
	// The clearance is a way along the radius, so a diameter takes it twice.
	outer := s.Add("start-diameter", "diameter with clearance", c.diameter, c.ends())
	inner := graph.Or(c.to, s.Zero(graph.Mm))
	n := graph.None
	c.Wanted, n, c.VC = spin(c.s, c.centre, c.k.Speed, c.diameter)
	around := c.s.Known("speed-mm")
	l := layersOf(inner)
	split := graph.None
	if l.deepest != graph.None {
		// At the rim: at constant surface speed it is as high further in, and falls only
		// where the spindle can turn no faster.
		removal := c.s.By("M11").Multiply("removal", "removal rate", s.Pi(), c.diameter, l.deepest, c.k.Feed, n)
		split = c.load(removal, c.k.Feed, n, c.s)
	}
	count := c.roughing(&l, split)
	one, rough, fine := c.inwardTurns(outer, inner, around), graph.None, graph.None
	if l.rough != graph.None {
		rough = c.Times("rough-turns", "path ÷ spindle speed of the passes", one, count)
	}
	if l.fine != graph.None {
		fine = c.Times("finish-turns", "path ÷ spindle speed of the finishing pass", one, split)
	}
	// The whole share, unlike along: the turns above are at the speed wanted.
	c.revolve(rough, fine, c.slow)
	c.moves(c.s, "back", "way back of one pass", c.allPasses(count, l, split), s.Multiply("back-radius", "way back of one pass", s.Half(), outer))
}

// inwardTurns is the time × feed of one pass, in mm·min.
func (c *Cut) inwardTurns(outer, inner, speed graph.ID) graph.ID {
	s := c.s.By("M3")
	change, slow := inner, graph.None
	if c.centre.spindleMax != graph.None {
		s := s.By("M1")
		limit := s.Divide("limit-diameter", "diameter below which the spindle turns at its highest speed",
			s.Divide("limit-around", "circumference at that diameter", speed, c.centre.spindleMax), s.Pi())
		// Held within the face, so that neither part can come out negative whatever
		// speed is tried out.
		change = s.Minimum("change-diameter", "diameter of the change, within the face", s.Maximum("limit-inside", "not inside the face", limit, inner), outer)
		slow = s.Divide("inner-turns", "path ÷ spindle speed inside", s.Multiply("inner-half", "half the difference of the diameters inside", s.Half(), s.Subtract("inner-both", "difference of the diameters inside", change, inner)), c.centre.spindleMax)
	}
	area := s.Subtract("swept-squares", "difference of the squares of the diameters", s.Multiply("outer-square", "outer diameter, squared", outer, outer), s.Multiply("change-square", "diameter of the change, squared", change, change))
	ring := s.Multiply("swept-ring", "π × that", s.Pi(), area)
	outside := s.Divide("outer-turns", "path ÷ spindle speed at constant surface speed", ring, s.Multiply("four-speeds", "four times the cutting speed", s.Four(), speed))
	return s.Total("pass-turns", "path ÷ spindle speed of one pass", outside, slow)
}

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
func (c *Cut) layers(wall graph.ID) layers {
	s, most := c.s.By("M4"), c.mostDepth()
	l := layers{rough: wall, step: most, fine: graph.None}
	switch {
	case c.roughness == graph.None:
		l.rough = c.cutDepth(wall)
	// No depth is known, so the finishing pass may take all.
	case most == graph.None:
		return layers{rough: graph.None, step: graph.None, fine: wall, deepest: wall}
	case c.allowance != graph.None:
		l.fine = c.allowance
	default:
		usual := s.Fixed("finish-usual", "depth of a finishing pass where no allowance states it", graph.Mm, decimal.New(5, -1),
			reference.Cite("`stainless-turning` and `small-turning`: 0.5 mm is the least finishing depth of the one, the most of the other"))
		l.fine = s.Minimum("finish-depth", "depth of the finishing pass", usual, most, wall)
	}
	l.rough = graph.Or(s.Subtract("rough-depth", "depth of the passes before", wall, l.fine), l.rough)
	l.deepest = l.rough
	l.deepest = graph.Or(s.Minimum("pass-depth", "depth of each pass", most, l.rough), l.deepest)
	l.deepest = graph.Or(s.Maximum("deepest-pass", "deepest pass", l.deepest, l.fine), l.deepest)
	return l
}

// roughing is the number of passes of the deepest cut, each split into so many; None
// for one.
func (c *Cut) roughing(l *layers, split graph.ID) graph.ID {
	if l.rough == graph.None {
		return graph.None
	}
	// Without a most per pass there is one pass of all, and that is what is split.
	if split != graph.None && (l.step != graph.None || l.deepest != graph.None) {
		l.step = c.s.By("M12").Divide("pass-split", "depth of each split pass", graph.Or(l.step, l.deepest), split)
	}
	return c.passes("levels", "passes of the deepest cut", l.rough, l.step)
}

// allPasses counts the finishing pass too; None for one.
func (c *Cut) allPasses(count graph.ID, l layers, split graph.ID) graph.ID {
	switch {
	case l.fine == graph.None:
		return count
	case l.rough == graph.None:
		return split
	}
	return c.s.By("M4").Add("passes", "passes, with the finishing pass", count, graph.Or(split, c.s.One(graph.Plain)))
}

// passes run at one surface speed, each by its own diameter: first, first − fall, …
type passes struct {
	*Cut
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
	// At one surface speed a turn takes as long as its way: in proportion to D.
	free := s.Multiply(name+"-turn-free", "time of a turn at the surface speed", diameter, p.slope())
	if p.centre.spindleMax == graph.None {
		return free
	}
	return s.Maximum(name+"-turn", "time of a turn", free, p.shortest())
}

// slope is the time of a turn by mm of diameter.
func (p passes) slope() graph.ID {
	s := p.s.By("M1")
	return s.Divide("turn-slope", "time of a turn by diameter", s.One(graph.Plain), s.Multiply("turn-speed", "spindle speed × diameter", p.n, p.largest))
}

// shortest is the time of a turn at the highest speed of the spindle.
func (p passes) shortest() graph.ID {
	s := p.s.By("M1")
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
		// The change may lie above the first diameter or below the last.
		free = s.Maximum("free-passes", "passes at the surface speed", s.Zero(graph.Plain), s.Minimum("free-most", "of those there are", whole, p.count))
	}
	pairs := s.Multiply("falls", "falls of the diameter in all", s.Half(), free, s.Subtract("free-less", "passes less one", free, one))
	sum := s.Subtract("diameters", "diameters of the passes at the surface speed, added up", s.Multiply("diameters-level", "passes × first diameter", free, p.first), s.Multiply("diameters-lost", "what they fall by", p.fall, pairs))
	time := s.Multiply("turns-free", "a turn of each at the surface speed", sum, p.slope())
	if free != p.count {
		time = s.SumProducts("turns", "a turn of each pass", one, time, s.Subtract("capped-passes", "passes at the highest speed of the spindle", p.count, free), p.shortest())
	}
	return time
}

// slowest notes the spindle speed that the smallest pass asks for, by which it is told
// where the spindle limits.
func (c *Cut) slowest(p passes, finish graph.ID) {
	s := c.s.By("M1")
	smallest := finish
	if p.count != graph.None {
		last := s.Subtract("last-diameter", "diameter of the last pass", p.first, s.Multiply("last-fall", "fall up to it", p.fall, s.Subtract("count-less", "passes less one", p.count, s.One(graph.Plain))))
		smallest = s.Minimum("smallest-diameter", "diameter of the smallest pass", last, finish)
	}
	if smallest != p.largest {
		c.Wanted = s.Divide("spindle-wanted-last", "spindle speed wanted at the smallest pass", s.Multiply("wanted-speed", "spindle speed × diameter wanted", c.Wanted, p.largest), smallest)
	}
}

// revolve writes the time of the passes from their path ÷ spindle speed: those of the
// deepest cut at the feed of the cutting data, the finishing pass at that of the
// roughness, both no faster than the share of the feed that the spindle drives.
func (c *Cut) revolve(rough, fine, share graph.ID) {
	s := c.s.By("M3")
	feed := c.k.Feed
	feed = graph.Or(s.By("M12").Multiply("feed-held", "feed that the spindle can drive", feed, share), feed)
	if fine == graph.None {
		c.reached(c.k.Feed)
		c.Minutes = s.Divide("path-time", "cutting time of one", rough, feed)
		return
	}
	finest := feed
	if r := c.roughFeed(); r != graph.None {
		// A coarse roughness never raises the feed above the cutting data.
		finest = s.By("M9").Minimum("feed-finishing", "feed for the roughness", feed, r)
	}
	c.reached(finest)
	last := s.Divide("finish-time", "time of the finishing pass", fine, finest)
	rough = graph.Or(s.Divide("rough-time", "time of the passes before", rough, feed), rough)
	c.Minutes = s.Sum("path-time", "cutting time of one", rough, last)
}

// cutTo is the diameter cut to: nought where none is stated.
func (b body) cutTo() graph.ID { return graph.Or(b.to, b.s.Zero(graph.Mm)) }

// ring is the section taken off between two diameters.
func (b body) ring(large, small graph.ID) graph.ID {
	s := b.s
	return s.Multiply("ring", "ring taken off", s.Quarter(), s.Pi(),
		s.Subtract("ring-squares", "difference of the squares of the diameters", s.Multiply("large-square", "larger diameter, squared", large, large), s.Multiply("small-square", "smaller diameter, squared", small, small)))
}

// wallChange is what the wall grows or shrinks by, with its diameters.
func (b body) wallChange(large, small, long graph.ID) graph.ID {
	return b.s.Multiply("wall-change", "change of the wall", b.s.Pi(), b.s.Subtract("wall-diameters", "difference of the diameters", large, small), long)
}

// proud is twice the allowance that is left, standing proud of both walls; None where
// there is none, or a finishing pass takes it.
func (b body) proud() graph.ID {
	if b.allowance == graph.None || b.roughness != graph.None {
		return graph.None
	}
	return b.s.Multiply("allowance-both", "allowance on both sides", b.s.Two(), b.allowance)
}
