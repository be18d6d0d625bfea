package graphtest

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Random gives a valid graph of about size nodes, the same for the same seed and
// size. It has every operation if size is 200 or more; most of its figures are
// defined, moderate in size, and no quotient x/step is above 100,000. Figures that
// lie so near an edge that the last bits of a binary evaluator would decide are
// left out.
func Random(seed uint64, size int) *graph.Graph {
	g, _ := RandomEstimated(seed, size)
	return g
}

// RandomEstimated gives the graph of [Random] and, per node, what it comes to in
// ordinary binary arithmetic: NaN for an undefined figure. The estimates are good
// for about nine digits.
func RandomEstimated(seed uint64, size int) (*graph.Graph, []float64) {
	b := graph.NewBuilder(graph.Limits{})
	m := &maker{rnd: rand.New(rand.NewPCG(seed, uint64(size))), s: b.Root(), byUnit: map[graph.Unit][]figure{}}
	for _, u := range units {
		m.input(u)
	}
	for op := graph.Op(0); op < graph.OpCount && m.n < size; op++ {
		for range 20 {
			if makers[op](m) {
				break
			}
		}
	}
	for m.n < size {
		makers[m.anyOp()](m)
	}
	g, err := b.Build()
	if err != nil {
		// The maker only joins what fits; reaching this is a mistake in it.
		panic(fmt.Sprintf("graphtest: random graph %d of %d: %v", seed, size, err))
	}
	return g, m.estimates
}

var units = []graph.Unit{
	graph.Plain, graph.Plain, graph.Plain, graph.Minute, graph.Mm, graph.Gram, graph.Piece, graph.Currency("EUR"),
	graph.Mm.Power(2), graph.Currency("EUR").Per(graph.Piece), graph.Minute.Per(graph.Piece),
}

// figure is a node with what the maker knows of it.
type figure struct {
	id    graph.ID
	unit  graph.Unit
	est   float64
	parts int // at least the number of symbols in the unit
	typed decimal.Decimal
}

func (f figure) undefined() bool { return math.IsNaN(f.est) }

type maker struct {
	rnd       *rand.Rand
	s         graph.Scope
	n         int
	all       []figure
	byUnit    map[graph.Unit][]figure
	estimates []float64
}

// anyOp takes one function for twenty everyday operations.
func (m *maker) anyOp() graph.Op {
	for {
		op := graph.Op(m.rnd.IntN(int(graph.OpCount)))
		switch op {
		case graph.Power, graph.SquareRoot, graph.NaturalLog, graph.ArcCosine:
			if m.rnd.IntN(6) > 0 {
				continue
			}
		}
		return op
	}
}

// name gives the key of the next node.
func (m *maker) name() string { return fmt.Sprintf("n%d", m.n) }

// acceptable reports whether a figure may stay in the graph: zero, a moderate
// size, or now and then undefined.
func (m *maker) acceptable(est float64) bool {
	if math.IsNaN(est) {
		return m.rnd.IntN(30) == 0
	}
	size := math.Abs(est)
	return est == 0 || size >= 1e-3 && size <= 1e6
}

// keep records a node that has been added.
func (m *maker) keep(f figure) figure {
	m.n++
	m.all = append(m.all, f)
	m.byUnit[f.unit] = append(m.byUnit[f.unit], f)
	m.estimates = append(m.estimates, f.est)
	return f
}

// put adds a node if its estimate is acceptable.
func (m *maker) put(est float64, parts int, build func(name string) graph.ID) bool {
	if !m.acceptable(est) {
		return false
	}
	id := build(m.name())
	m.keep(figure{id: id, unit: m.s.Unit(id), est: est, parts: parts})
	return true
}

// number gives a typed number of up to five digits and four places.
func (m *maker) number() decimal.Decimal {
	digits := m.rnd.IntN(5) + 1
	limit := int64(math.Pow10(digits))
	d := decimal.New(m.rnd.Int64N(limit)+1, -int32(m.rnd.IntN(min(digits, 3)+1)))
	if m.rnd.IntN(10) == 0 {
		return d.Neg()
	}
	return d
}

// input adds a typed number.
func (m *maker) input(unit graph.Unit) figure { return m.typed(unit, m.number()) }

func (m *maker) typed(unit graph.Unit, d decimal.Decimal) figure {
	id := m.s.Input(m.name(), "typed", unit, d)
	return m.keep(figure{id: id, unit: unit, est: d.InexactFloat64(), parts: 3, typed: d})
}

// any gives a figure, rarely an undefined one.
func (m *maker) any() figure { return m.from(m.all) }

func (m *maker) from(pool []figure) figure {
	f := pool[m.rnd.IntN(len(pool))]
	for range 3 {
		if !f.undefined() || m.rnd.IntN(20) == 0 {
			break
		}
		f = pool[m.rnd.IntN(len(pool))]
	}
	return f
}

// alike gives a figure in a unit, new if there is none to speak of.
func (m *maker) alike(unit graph.Unit) figure {
	if pool := m.byUnit[unit]; len(pool) > 2 && m.rnd.IntN(8) > 0 {
		return m.from(pool)
	}
	return m.input(unit)
}

// several gives 1 to most figures in one unit.
func (m *maker) several(most int) (ids []graph.ID, ests []float64, first figure) {
	first = m.any()
	ids, ests = []graph.ID{first.id}, []float64{first.est}
	for range m.rnd.IntN(most) {
		f := m.alike(first.unit)
		ids, ests = append(ids, f.id), append(ests, f.est)
	}
	return ids, ests, first
}

// near reports whether two figures are apart by so little that rounding in binary
// could hide or make the difference.
func near(a, b float64) bool {
	d := math.Abs(a - b)
	return d > 1e-10 && d < 1e-7 || d <= 1e-10 && math.Max(math.Abs(a), math.Abs(b)) > 1e5
}

// cancels reports whether a sum is so much smaller than its terms that binary
// digits are lost.
func cancels(sum float64, terms []float64) bool {
	for _, t := range terms {
		if math.Abs(sum) < math.Abs(t)*1e-3 {
			return true
		}
	}
	return false
}
