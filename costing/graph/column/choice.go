package column

import (
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// test is a comparison ready for use.
type test struct {
	from, below float64 // with a number: it holds for from ≤ x < below
	// With a column: all bits where the comparison holds for less, equal, more.
	less, equal, more uint64
}

// testAgainst gives the comparison with a number: both sides are snapped, so that
// half a unit of the ninth place around the number is equal to it.
func testAgainst(c graph.Comparison, b float64) (t test, negated bool) {
	// Worked out once here, so that a draw is only held against two numbers.
	b9, room := snapped(b), math.Abs(b)*slack
	t.from, t.below = math.Inf(-1), math.Inf(1)
	low, high := (b9-0.5)/snapUnit-room, (b9+0.5)/snapUnit+room
	switch c {
	case graph.Less:
		t.below = low
	case graph.LessOrEqual:
		t.below = high
	case graph.GreaterOrEqual:
		t.from = low
	case graph.Greater:
		t.from = high
	default:
		t.from, t.below = low, high
	}
	return t, c == graph.NotEqual
}

// testOf gives the comparison of two columns.
func testOf(c graph.Comparison) test {
	bits := func(sign int) uint64 {
		if c.Holds(sign) {
			return math.MaxUint64
		}
		return 0
	}
	return test{less: bits(-1), equal: bits(0), more: bits(1)}
}

// order is the sign of a − b, both snapped. Numbers so large that their binary
// digits end before the ninth place are equal where they differ by rounding only.
// It is 0 for NaN.
func order(a, b float64) int {
	s := snapped(a)
	d, room := s-snapped(b), math.Abs(s)*slack
	switch {
	case d > room:
		return 1
	case d < -room:
		return -1
	}
	return 0
}

// swapped is the comparison of b with a that says the same.
func swapped(c graph.Comparison) graph.Comparison {
	switch c {
	case graph.Less:
		return graph.Greater
	case graph.LessOrEqual:
		return graph.GreaterOrEqual
	case graph.GreaterOrEqual:
		return graph.LessOrEqual
	case graph.Greater:
		return graph.Less
	}
	return c
}

func compileChoose(m *compiler, n *graph.Node) form {
	return m.selected(n, m.form(n.Args[2]), m.form(n.Args[3]))
}

func compileCheck(m *compiler, n *graph.Node) form {
	return m.selected(n, form{base: 1}, form{base: 0})
}

// selected gives yes where the comparison of a node holds and no elsewhere.
func (m *compiler) selected(n *graph.Node, yes, no form) form {
	a, b, c := m.form(n.Args[0]), m.form(n.Args[1]), n.Compare
	// The number to the right, so that there is one kernel for it.
	if a.fixed() {
		a, b, c = b, a, swapped(c)
	}
	switch {
	case math.IsNaN(b.base) || math.IsNaN(a.base):
		return undefined()
	case a.fixed() && c.Holds(order(a.base, b.base)):
		return yes
	case a.fixed():
		return no
	case b.fixed():
		t, negated := testAgainst(c, b.base)
		if negated {
			yes, no = no, yes
		}
		return m.emit(step{do: selectWithin, test: t}, m.column(a), m.column(yes), m.column(no))
	}
	return m.emit(step{do: selectOrder, test: testOf(c)}, m.column(a), m.column(b), m.column(yes), m.column(no))
}

func selectWithin(c *Columns, s *step, n int) {
	loopWithin(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], c.cols[s.args[2]], s.test.from, s.test.below)
}

func selectOrder(c *Columns, s *step, n int) {
	loopOrdered(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], c.cols[s.args[2]], c.cols[s.args[3]], s.test)
}

func compileLeast(m *compiler, n *graph.Node) form {
	return m.emit(step{do: least}, m.columns(m.formsOf(n.Args))...)
}

// least gives the index, from 1, of the smallest argument by the ninth place.
func least(c *Columns, s *step, n int) { loopLeast(c.cols[s.out][:n], c.gather(s, n)) }

func compileAt(m *compiler, n *graph.Node) form { return m.picked(m.form(n.Args[0]), n.Args[1:]) }

// picked gives the figure with an index, from 1.
func (m *compiler) picked(index form, of []graph.ID) form {
	if index.fixed() {
		// Only the one picked is made a column: the others need no value.
		if i := wholeIndex(index.base, len(of)); i > 0 {
			return m.form(of[i-1])
		}
		return undefined()
	}
	return m.emit(step{do: pick}, append([]reg{m.column(index)}, m.columns(m.formsOf(of))...)...)
}

// wholeIndex gives an index from 1 to n, 0 if x is none.
func wholeIndex(x float64, n int) int {
	whole := math.Floor(x + 0.5)
	if math.Abs(x-whole) < snapHalf && whole >= 1 && whole <= float64(n) {
		return int(whole)
	}
	return 0
}

// pick gives the argument with an index.
func pick(c *Columns, s *step, n int) {
	args := c.gather(s, n)
	loopPick(c.cols[s.out][:n], args[0], args[1:])
}

func compileDecided(m *compiler, n *graph.Node) form {
	s := step{do: decided, base: binary(n.Value), node: n}
	var args []reg
	for _, w := range n.Decision.Valid {
		args = append(args, m.column(m.form(w.Input)))
		s.k = append(s.k, binary(w.Low), binary(w.High))
	}
	out := m.emit(s, args...)
	// Kept even where no output reads it: it may have to stop the run.
	m.work[len(m.work)-1].guards = true
	return out
}

// decided gives a decision where every input it depends on has a value: the one that
// was taken while all lie in their windows, beyond them by rounding only being inside,
// and one that is taken again elsewhere.
func decided(c *Columns, s *step, n int) {
	out := c.cols[s.out][:n]
	for i := range out {
		out[i] = s.base
	}
	for k, w := range s.node.Decision.Valid {
		low, high := s.k[2*k], s.k[2*k+1]
		for i, x := range c.cols[s.args[k]][:n] {
			switch {
			case x != x:
				out[i] = x
			// The plain comparison first: it is false nearly always, and cheap.
			case out[i] == s.base && (x < low || x > high) && (order(x, low) < 0 || order(x, high) > 0):
				again, ok := s.again(c, i)
				if !ok {
					c.err = &OutsideDecisionError{Key: s.node.Key, Input: c.p.g.Node(w.Input).Key,
						Value: decimal.NewFromFloat(x), Low: w.Low, High: w.High}
					return
				}
				out[i] = again
			}
		}
	}
}

// again takes a decision for the inputs of one draw.
func (s *step) again(c *Columns, at int) (float64, bool) {
	how := s.node.Decision
	if how.Again == nil {
		return 0, false
	}
	inputs := make([]decimal.Decimal, len(how.Valid))
	for k := range inputs {
		x := c.cols[s.args[k]][at]
		if x != x {
			return x, true
		}
		inputs[k] = decimal.NewFromFloat(x).Round(graph.SnapPlaces)
	}
	v, ok := how.Again(inputs)
	return binary(v), ok
}
