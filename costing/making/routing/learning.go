package routing

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// runPieces is units in × time per piece, or what M17 makes of it where the time
// falls with practice.
func (st *Step) runPieces(s graph.Scope) graph.ID {
	const name, label = "run-pieces", "run time of all pieces"
	l := st.Operation.Learning
	if l == nil {
		return s.Multiply(name, label, st.UnitsIn, st.PieceTime)
	}
	at := s.In("learning").Within("learning").By("M17")
	c := newCurve(at, l)
	first := c.firstTime(l, st.PieceTime)
	worth := at.Multiply("worth", "units in, counted in first units", c.batch(l, st.UnitsIn), at.One(graph.Piece))
	s = s.By("M17")
	var run graph.ID
	if l.FloorMin == nil {
		run = s.Multiply(name, label, first, worth)
	} else {
		floor := at.Number("floor", "least time per piece", graph.Minute.Per(graph.Piece), *l.FloorMin, "floor_min")
		// Else the floor would hold from the first unit on, and nobody would see that the
		// curve is not used.
		at.Check("floor-fits", "the least time per piece is not above the time of the first unit", floor, graph.LessOrEqual, first)
		// On the batch as a whole, as M17 is read here, and not on each unit: a batch may run
		// below the floor at its end if its first units were as much above.
		run = s.Maximum(name, label, at.Multiply("time", "run time by the learning curve", first, worth),
			at.Multiply("floor-time", "run time at the least time per piece", floor, st.UnitsIn))
	}
	st.average = at.Divide("average", "average time per piece of this batch", run, st.UnitsIn)
	return run
}

// curve is a learning curve: times of units and their totals, the time of the
// first unit being 1 (M17; the unit model after Crawford, the average model after
// Wright).
type curve struct {
	s     graph.Scope
	model bom.LearningModel
	b, b1 graph.ID // slope ln(rate) ÷ ln 2, and 1 + slope
	sum   unitSum  // of the unit model
}

func newCurve(s graph.Scope, l *bom.Learning) *curve {
	rate := s.Number("rate", "learning rate, "+string(l.Model)+" model", graph.Plain, l.Rate, "rate")
	double := s.NaturalLog("ln-two", "ln 2", counted(s, 2))
	c := &curve{s: s, model: l.Model}
	c.b = s.Divide("slope", "slope of the learning curve", s.NaturalLog("ln-rate", "ln of the learning rate", rate), double)
	c.b1 = s.Add("slope-total", "1 + slope", s.One(graph.Plain), c.b)
	if c.model == bom.UnitModel {
		c.sum = newUnitSum(s, c.b, c.b1)
	}
	return c
}

// firstTime is the time of the first unit: the one entered, or what follows from
// the average of the first units or from the time of a unit.
func (c *curve) firstTime(l *bom.Learning, entered graph.ID) graph.ID {
	const name, label = "first", "time of the first unit"
	switch {
	case l.AverageAt != nil:
		n := c.s.Number("average-at", "units that the entered time is the average of", graph.Plain, *l.AverageAt, "average_at")
		each := c.s.Divide("average-share", "average time of those units, first unit = 1", c.total("average-at", n), n)
		return c.s.Divide(name, label, entered, each)
	case l.UnitAt != nil:
		n := c.s.Number("unit-at", "unit that the entered time is of", graph.Plain, *l.UnitAt, "unit_at")
		before := c.s.Subtract("unit-at-before", "units before that one", n, c.s.One(graph.Plain))
		return c.s.Divide(name, label, entered, c.next("unit-at", before))
	}
	return entered
}

// batch is the total of the units of this batch, in times of the first unit. A
// fraction of a unit takes that share of the next unit's time.
func (c *curve) batch(l *bom.Learning, unitsIn graph.ID) graph.ID {
	s := c.s
	units := s.Divide("units", "units in, as a number", unitsIn, s.One(graph.Piece))
	// A batch made before is practice kept: it is the difference of two totals.
	if l.MadeBefore == nil {
		return c.upTo("batch", units)
	}
	made := s.Number("made-before", "units made before", graph.Plain, *l.MadeBefore, "made_before")
	after := c.upTo("after", s.Add("after", "units made after this batch", made, units))
	return s.Subtract("batch-total", "time of the batch, first unit = 1", after, c.total("made-before", made))
}

// upTo is the total up to a count that need not be whole.
func (c *curve) upTo(name string, count graph.ID) graph.ID {
	s := c.s
	whole := s.Floor(name+"-whole", "whole units", count, s.One(graph.Plain))
	total := c.total(name+"-whole", whole)
	fraction := s.Subtract(name+"-fraction", "fraction of the next unit", count, whole)
	part := s.Multiply(name+"-part", "its share of the next unit's time", fraction, c.next(name+"-whole", whole))
	return s.Add(name+"-units", "time of the units, first unit = 1", total, part)
}

// total is the time of the first n units, n whole, in times of the first: n to
// the power 1 + b, or the sum of k to the power b.
func (c *curve) total(name string, n graph.ID) graph.ID {
	if c.model == bom.UnitModel {
		return c.sum.upTo(name, n)
	}
	power := c.s.Power(name+"-power", "count to the power 1 + slope", n, c.b1)
	return c.s.Choose(name+"-total", "time of the first units, first unit = 1", n, graph.Greater, c.s.Zero(graph.Plain), power, c.s.Zero(graph.Plain))
}

// next is the time of the unit after the first n.
func (c *curve) next(name string, n graph.ID) graph.ID {
	const label = "time of the next unit, first unit = 1"
	following := c.s.Add(name+"-following", "number of the next unit", n, c.s.One(graph.Plain))
	if c.model == bom.UnitModel {
		return c.s.Power(name+"-next", label, following, c.b)
	}
	before := c.s.Known(name + "-total")
	if before == graph.None {
		before = c.total(name, n)
	}
	return c.s.Subtract(name+"-next", label, c.total(name+"-following", following), before)
}
