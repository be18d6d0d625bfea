package column

import (
	"math"
	"slices"

	"kerfbook/costing/graph"
)

func compileAdd(m *compiler, n *graph.Node) form {
	var out form
	for _, f := range m.formsOf(n.Args) {
		out = out.plus(f, 1)
	}
	return out
}

func compileSubtract(m *compiler, n *graph.Node) form {
	return form{}.plus(m.form(n.Args[0]), 1).plus(m.form(n.Args[1]), -1)
}

func compileMultiply(m *compiler, n *graph.Node) form { return m.product(m.formsOf(n.Args)...) }

func compileSumProducts(m *compiler, n *graph.Node) form {
	var out form
	for i := 0; i < len(n.Args); i += 2 {
		out = out.plus(m.product(m.form(n.Args[i]), m.form(n.Args[i+1])), 1)
	}
	return out
}

// product multiplies forms: what does not vary into one factor, and columns two by
// two until one term holds what is left.
func (m *compiler) product(factors ...form) form {
	k := 1.0
	var moving []form
	for _, f := range factors {
		if f.fixed() {
			k *= f.base
		} else {
			moving = append(moving, f)
		}
	}
	if len(moving) == 0 {
		return form{base: k}
	}
	// A term holds two columns at most, for which there are kernels: of three factors two
	// become a column first.
	out := moving[0]
	for _, f := range moving[1:] {
		a, b := m.single(out), m.single(f)
		out = form{terms: []term{{float64(a.k * b.k), min(a.x, b.x), max(a.x, b.x)}}}
	}
	return out.times(k)
}

// single makes k·x of a form.
func (m *compiler) single(f form) term {
	if t, ok := f.single(); ok {
		return t
	}
	return term{1, m.column(f), noReg}
}

// compileDivide multiplies by the reciprocal, which all quotients by one column
// share.
func compileDivide(m *compiler, n *graph.Node) form {
	a, b := m.form(n.Args[0]), m.form(n.Args[1])
	if b.fixed() {
		if b.base == 0 {
			return undefined()
		}
		// Two roundings where a division has one: well within twelve digits, and a form stays
		// a form.
		return a.times(1 / b.base)
	}
	t := m.single(b)
	if t.k == 0 {
		return undefined()
	}
	r, ok := m.reciprocals[t.x]
	if !ok {
		r = m.column(m.emit(step{do: reciprocal}, t.x))
		m.reciprocals[t.x] = r
	}
	return m.product(a, of(r), form{base: 1 / t.k})
}

// reciprocal computes 1 ÷ x.
func reciprocal(c *Columns, s *step, n int) { loopReciprocals(c.cols[s.out][:n], c.cols[s.args[0]]) }

// extreme is the smallest or the largest.
type extreme struct {
	of    func(a, b float64) float64
	pair  func(out, x, y []float64)
	bound func(out, x []float64, limit float64)
}

var (
	smallest = extreme{math.Min, loopMinimum, loopMinimumOf}
	largest  = extreme{math.Max, loopMaximum, loopMaximumOf}
)

// compileExtreme joins what does not vary into one bound.
func compileExtreme(e extreme) compileFunc {
	pairs, bound := e.pairs(), e.bounded()
	return func(m *compiler, n *graph.Node) form {
		var args []reg
		var limits []float64
		for _, f := range m.formsOf(n.Args) {
			if f.fixed() {
				limits = append(limits, f.base)
			} else if r := m.column(f); !slices.Contains(args, r) { // two arguments may be one column
				args = append(args, r)
			}
		}
		if len(limits) == 0 {
			if len(args) == 1 {
				return of(args[0])
			}
			return m.emit(step{do: pairs}, args...)
		}
		limit := limits[0]
		for _, v := range limits[1:] {
			limit = e.of(limit, v)
		}
		if math.IsNaN(limit) || len(args) == 0 {
			return form{base: limit}
		}
		return m.emit(step{do: bound, base: limit}, args...)
	}
}

// pairs is the kernel of columns only.
func (e extreme) pairs() kernel {
	return func(c *Columns, s *step, n int) {
		out := c.cols[s.out][:n]
		e.pair(out, c.cols[s.args[0]], c.cols[s.args[1]])
		for _, a := range s.args[2:] {
			e.pair(out, out, c.cols[a])
		}
	}
}

// bounded is the kernel of a bound and columns.
func (e extreme) bounded() kernel {
	return func(c *Columns, s *step, n int) {
		out := c.cols[s.out][:n]
		e.bound(out, c.cols[s.args[0]], s.base)
		for _, a := range s.args[1:] {
			e.pair(out, out, c.cols[a])
		}
	}
}
