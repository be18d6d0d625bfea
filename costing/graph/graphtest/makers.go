package graphtest

import (
	"cmp"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// makers adds a node of each operation, with the arguments it needs; false means
// that what was drawn did not suit.
var makers = [graph.OpCount]func(m *maker) bool{
	graph.Constant:    makeConstant,
	graph.Range:       makeRange,
	graph.Add:         makeAdd,
	graph.Multiply:    makeMultiply,
	graph.Subtract:    makeSubtract,
	graph.Divide:      makeDivide,
	graph.SumProducts: makeSumProducts,
	graph.Minimum:     makeExtreme(graph.Scope.Minimum, math.Min),
	graph.Maximum:     makeExtreme(graph.Scope.Maximum, math.Max),
	graph.Least:       makeLeast,
	graph.At:          makeAt,
	graph.Floor:       makeStep(graph.Scope.Floor, 0, math.Floor),
	graph.Ceiling:     makeStep(graph.Scope.Ceiling, 0, math.Ceil),
	graph.Round:       makeStep(graph.Scope.Round, 0.5, math.Round),
	graph.RoundEven:   makeStep(graph.Scope.RoundEven, 0.5, math.RoundToEven),
	graph.Power:       makePower,
	graph.SquareRoot:  makeSquareRoot,
	graph.NaturalLog:  makeFunction(graph.Scope.NaturalLog, 0.1, 1e5, math.Log),
	graph.ArcCosine:   makeFunction(graph.Scope.ArcCosine, -0.95, 0.95, math.Acos),
	graph.Band:        makeBand,
	graph.Band2:       makeBand2,
	graph.Choose:      makeChoose,
	graph.Decided:     makeDecided,
	graph.Check:       makeCheck,
}

func makeConstant(m *maker) bool {
	m.input(units[m.rnd.IntN(len(units))])
	return true
}

func makeRange(m *maker) bool {
	likely := m.number()
	below, above := decimal.New(m.rnd.Int64N(90), -2), decimal.New(m.rnd.Int64N(300), -2)
	unit := units[m.rnd.IntN(len(units))]
	return m.put(likely.InexactFloat64(), 3, func(name string) graph.ID {
		return m.s.Estimate(name, "estimated", unit, ranged(likely.Sub(below), likely, likely.Add(above)))
	})
}

// ranged gives a range of a shape that follows from its figures.
func ranged(low, likely, high decimal.Decimal) bom.Number {
	r := bom.Number{Low: low, Likely: likely, High: high, IsRange: true}
	r.Shape = bom.Shape(high.Sub(low).Shift(2).IntPart() % int64(bom.ShapeCount))
	if r.Shape == bom.Normal {
		r.SD = decimal.New(25, -2)
	}
	return r
}

func makeAdd(m *maker) bool {
	ids, ests, first := m.several(5)
	sum := 0.0
	for _, e := range ests {
		sum += e
	}
	return !cancels(sum, ests) && m.put(sum, first.parts, func(name string) graph.ID {
		return m.s.Add(name, "sum", ids...)
	})
}

func makeSubtract(m *maker) bool {
	a := m.any()
	b := m.alike(a.unit)
	diff := a.est - b.est
	return !cancels(diff, []float64{a.est, b.est}) && m.put(diff, a.parts, func(name string) graph.ID {
		return m.s.Subtract(name, "difference", a.id, b.id)
	})
}

// factor gives a figure whose unit can be joined to one of so many parts.
func (m *maker) factor(parts int) figure {
	if f := m.any(); f.parts+parts <= 6 && m.rnd.IntN(3) == 0 {
		return f
	}
	f := m.alike(graph.Plain)
	f.parts = 0
	return f
}

func makeMultiply(m *maker) bool {
	f := m.any()
	ids, est, parts := []graph.ID{f.id}, f.est, f.parts
	for range m.rnd.IntN(4) {
		next := m.factor(parts)
		ids, est, parts = append(ids, next.id), est*next.est, parts+next.parts
	}
	return m.put(est, parts, func(name string) graph.ID { return m.s.Multiply(name, "product", ids...) })
}

func makeDivide(m *maker) bool {
	a := m.any()
	b := m.factor(a.parts)
	est := a.est / b.est
	if b.est == 0 {
		est = math.NaN()
	}
	return m.put(est, a.parts+b.parts, func(name string) graph.ID { return m.s.Divide(name, "quotient", a.id, b.id) })
}

func makeSumProducts(m *maker) bool {
	values, ests, first := m.several(4)
	var ids []graph.ID
	sum := 0.0
	for i, v := range values {
		by := m.alike(graph.Plain)
		ids = append(ids, by.id, v)
		ests[i] *= by.est
		sum += ests[i]
	}
	return !cancels(sum, ests) && m.put(sum, first.parts, func(name string) graph.ID {
		return m.s.SumProducts(name, "sum of products", ids...)
	})
}

func makeExtreme(add operation, better func(a, b float64) float64) func(m *maker) bool {
	return func(m *maker) bool {
		ids, ests, first := m.several(5)
		best := ests[0]
		for _, e := range ests[1:] {
			best = better(best, e)
		}
		return m.put(best, first.parts, func(name string) graph.ID { return add(m.s, name, "extreme", ids...) })
	}
}

func makeLeast(m *maker) bool {
	ids, ests, _ := m.several(5)
	index := 0
	for i, e := range ests {
		if i != index && near(e, ests[index]) {
			return false
		}
		if e < ests[index]-1e-9 {
			index = i
		}
	}
	est := float64(index + 1)
	if slices.ContainsFunc(ests, math.IsNaN) {
		est = math.NaN()
	}
	return m.put(est, 0, func(name string) graph.ID { return m.s.Least(name, "index of the least", ids...) })
}

func makeAt(m *maker) bool {
	ids, ests, first := m.several(5)
	index := m.typed(graph.Plain, decimal.New(m.rnd.Int64N(int64(len(ids)))+1, 0))
	if m.rnd.IntN(30) == 0 {
		index = m.alike(graph.Plain)
	}
	est := math.NaN()
	if i := int(index.est); index.est == math.Trunc(index.est) && i >= 1 && i <= len(ids) {
		est = ests[i-1]
	}
	if index.est != math.Trunc(index.est) && math.Abs(index.est-math.Round(index.est)) < 1e-7 {
		return false
	}
	return m.put(est, first.parts, func(name string) graph.ID { return m.s.At(name, "picked", index.id, ids...) })
}

// makeStep keeps off the places where the step changes, unless x is exactly there.
func makeStep(add operation2, edge float64, to func(float64) float64) func(m *maker) bool {
	steps := []decimal.Decimal{decimal.New(1, 0), decimal.New(1, 0), decimal.New(5, -1), decimal.New(5, -2),
		decimal.New(1, -2), decimal.New(12, 0), decimal.New(25, -2), decimal.New(3, 0)}
	return func(m *maker) bool {
		x, d := m.any(), steps[m.rnd.IntN(len(steps))]
		q := x.est / d.InexactFloat64()
		whole := math.Round(q-edge) + edge
		if math.Abs(q) > 1e5 || near(q, whole) {
			return false
		}
		if math.Abs(q-whole) <= 1e-10 {
			q = whole
		}
		if !m.acceptable(to(q) * d.InexactFloat64()) {
			return false
		}
		step := m.typed(x.unit, d)
		return m.put(to(q)*step.est, x.parts, func(name string) graph.ID { return add(m.s, name, "stepped", x.id, step.id) })
	}
}

// operation2 adds a node of two arguments.
type operation2 func(s graph.Scope, name, label string, a, b graph.ID) graph.ID

func makePower(m *maker) bool {
	x := m.alike(graph.Plain)
	if x.est < 0.01 || x.est > 1000 {
		return false
	}
	y := m.typed(graph.Plain, decimal.New(m.rnd.Int64N(61)-30, -1))
	return m.put(math.Pow(x.est, y.est), 0, func(name string) graph.ID { return m.s.Power(name, "power", x.id, y.id) })
}

func makeSquareRoot(m *maker) bool {
	x := m.any()
	if _, ok := x.unit.Root(); !ok || x.est < 0 {
		return false
	}
	return m.put(math.Sqrt(x.est), x.parts, func(name string) graph.ID { return m.s.SquareRoot(name, "root", x.id) })
}

func makeFunction(add func(s graph.Scope, name, label string, x graph.ID) graph.ID, low, high float64, f func(float64) float64) func(m *maker) bool {
	return func(m *maker) bool {
		x := m.alike(graph.Plain)
		if x.est <= low || x.est >= high {
			x = m.typed(graph.Plain, decimal.New(m.rnd.Int64N(80)+11, -2))
		}
		return m.put(f(x.est), 0, func(name string) graph.ID { return add(m.s, name, "function", x.id) })
	}
}

// axis draws bands for x; index is −1 outside the table, and ok is false if x lies
// too near an edge.
func (m *maker) axis(x figure) (a graph.Axis, index int, ok bool) {
	if x.undefined() {
		return graph.Axis{}, -1, false
	}
	at := decimal.New(int64(x.est/2)-20, 0)
	next := func() graph.ID {
		at = at.Add(decimal.New(m.rnd.Int64N(40)+1, -int32(m.rnd.IntN(2))))
		e := m.typed(x.unit, at)
		ok = ok && !near(x.est, e.est)
		return e.id
	}
	a.X, ok = x.id, true
	if a.Bands.HasLow = m.rnd.IntN(3) == 0; a.Bands.HasLow {
		a.Bands.LowClosed, a.Low = m.rnd.IntN(2) == 0, next()
		if order := snapOrder(x.est, at.InexactFloat64()); order < 0 || order == 0 && !a.Bands.LowClosed {
			index = -100
		}
	}
	for range m.rnd.IntN(4) {
		closed := m.rnd.IntN(2) == 0
		a.Bands.BelowClosed, a.Edges = append(a.Bands.BelowClosed, closed), append(a.Edges, next())
		if order := snapOrder(x.est, at.InexactFloat64()); order > 0 || order == 0 && !closed {
			index++
		}
	}
	if a.Bands.HasHigh = m.rnd.IntN(3) == 0; a.Bands.HasHigh {
		a.Bands.HighClosed, a.High = m.rnd.IntN(2) == 0, next()
		if order := snapOrder(x.est, at.InexactFloat64()); order > 0 || order == 0 && !a.Bands.HighClosed {
			index = -100
		}
	}
	return a, max(index, -1), ok
}

// snapOrder is the sign of a − b, zero where they are equal but for rounding.
func snapOrder(a, b float64) int {
	if math.Abs(a-b) <= 1e-9 {
		return 0
	}
	return cmp.Compare(a, b)
}

// cells gives so many values in one unit.
func (m *maker) cells(n int) (ids []graph.ID, ests []float64) {
	unit := m.any().unit
	for range n {
		f := m.alike(unit)
		ids, ests = append(ids, f.id), append(ests, f.est)
	}
	return ids, ests
}

func makeBand(m *maker) bool {
	axis, index, ok := m.axis(m.any())
	ids, ests := m.cells(axis.Bands.Count())
	est := math.NaN()
	if index >= 0 {
		est = ests[index]
	}
	return ok && m.put(est, 3, func(name string) graph.ID { return m.s.Band(name, "looked up", axis, ids...) })
}

func makeBand2(m *maker) bool {
	rows, i, ok1 := m.axis(m.any())
	columns, j, ok2 := m.axis(m.any())
	ids, ests := m.cells(rows.Bands.Count() * columns.Bands.Count())
	est := math.NaN()
	if i >= 0 && j >= 0 {
		est = ests[i*columns.Bands.Count()+j]
	}
	return ok1 && ok2 && m.put(est, 3, func(name string) graph.ID {
		return m.s.Band2(name, "looked up", rows, columns, ids...)
	})
}

// compared draws two figures to compare; ok is false if they are too near.
func (m *maker) compared() (a, b figure, c graph.Comparison, holds, ok bool) {
	a = m.any()
	b = m.alike(a.unit)
	c = graph.Comparison(m.rnd.IntN(6))
	return a, b, c, c.Holds(snapOrder(a.est, b.est)), !near(a.est, b.est)
}

func makeChoose(m *maker) bool {
	a, b, c, holds, ok := m.compared()
	ids, ests := m.cells(2)
	est := ests[1]
	switch {
	case a.undefined() || b.undefined():
		est = math.NaN()
	case holds:
		est = ests[0]
	}
	return ok && m.put(est, 3, func(name string) graph.ID { return m.s.Choose(name, "chosen", a.id, c, b.id, ids[0], ids[1]) })
}

func makeCheck(m *maker) bool {
	a, b, c, holds, ok := m.compared()
	est := 0.0
	switch {
	case a.undefined() || b.undefined():
		est = math.NaN()
	case holds:
		est = 1
	}
	return ok && m.put(est, 0, func(name string) graph.ID { return m.s.Check(name, "holds", a.id, c, b.id) })
}

func makeDecided(m *maker) bool {
	d := decimal.New(m.rnd.Int64N(20)+1, 0)
	x := m.input(units[m.rnd.IntN(len(units))])
	return m.put(d.InexactFloat64(), 0, func(name string) graph.ID {
		return m.s.Decided(name, "decided", graph.Piece, d, graph.Choice{Solver: "draw", Rule: "first",
			Valid: []graph.Window{{Input: x.id, Low: x.typed.Sub(decimal.New(1, 0)), High: x.typed.Add(decimal.New(50, 0))}}})
	})
}
