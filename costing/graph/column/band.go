package column

import (
	"math"
	"slices"

	"kerfbook/costing/graph"
)

// compileBand looks a value up by one axis or two. With edges that do not vary,
// each axis becomes a number per band, and the value is picked by their sum.
func compileBand(m *compiler, n *graph.Node) form {
	axes, values := n.BandArgs()
	cell, cells := form{base: 1}, len(values)
	for i, a := range axes {
		// The values stand row by row: a band of the first axis is worth a whole row.
		cells /= n.Axes[i].Count()
		part, ok := m.banded(&n.Axes[i], a, float64(cells))
		if !ok {
			return m.emit(step{do: band, node: n}, m.columns(m.formsOf(n.Args))...)
		}
		cell = cell.plus(part, 1)
	}
	// One axis, and prices that do not vary: the table can hold the values themselves in
	// place of their numbers.
	if s := len(m.work) - 1; len(axes) == 1 && !cell.fixed() && m.allFixed(values) {
		w := &m.work[s]
		for i, v := range w.k {
			if !math.IsNaN(v) {
				w.k[i] = m.form(values[int(v)]).base
			}
		}
		return of(w.out)
	}
	return m.picked(cell, values)
}

func (m *compiler) allFixed(ids []graph.ID) bool {
	return !slices.ContainsFunc(ids, func(id graph.ID) bool { return !m.form(id).fixed() })
}

// banded gives the band of an axis, from 0, times a factor; NaN outside its outer
// edges. ok is false if its edges vary or do not ascend.
func (m *compiler) banded(b *graph.Bands, a graph.AxisArgs, factor float64) (f form, ok bool) {
	edges, ok := m.thresholds(b, a)
	// Edges out of order mean nothing that can be counted; the general way agrees with
	// exact on them.
	if !ok || !slices.IsSorted(edges) {
		return form{}, false
	}
	// One entry more than edges: outside an outer edge there is no value.
	table := []float64{}
	if b.HasLow {
		table = append(table, math.NaN())
	}
	for i := range b.Count() {
		table = append(table, float64(i)*factor)
	}
	if b.HasHigh {
		table = append(table, math.NaN())
	}
	if len(edges) > 0 && math.IsNaN(edges[0]) {
		return undefined(), true
	}
	x := m.form(a.X)
	if x.fixed() {
		if math.IsNaN(x.base) {
			return undefined(), true
		}
		return form{base: table[passed(edges, x.base)]}, true
	}
	s := step{do: lookUp, k: table, edges: edges}
	return m.emit(s, m.column(x)), true
}

// thresholds gives, per edge, the least number that has passed it. Edges without a
// value give one that is NaN.
func (m *compiler) thresholds(b *graph.Bands, a graph.AxisArgs) (edges []float64, ok bool) {
	ok = true
	add := func(id graph.ID, belowClosed bool) {
		e := m.form(id)
		if !e.fixed() {
			ok = false
			return
		}
		c := graph.GreaterOrEqual
		if belowClosed {
			c = graph.Greater
		}
		t, _ := testAgainst(c, e.base)
		edges = append(edges, t.from)
	}
	if b.HasLow {
		add(a.Low, !b.LowClosed)
	}
	for i, id := range a.Edges {
		add(id, b.BelowClosed[i])
	}
	if b.HasHigh {
		add(a.High, b.HighClosed)
	}
	if slices.ContainsFunc(edges, math.IsNaN) && ok {
		return []float64{math.NaN()}, true
	}
	return edges, ok
}

// passed is the number of edges that x has passed. It counts signs, so that nothing
// has to be predicted; no edge is 0, for it lies half a unit of the ninth place
// beside a number.
func passed(edges []float64, x float64) int {
	n := len(edges)
	for _, e := range edges {
		n -= int(math.Float64bits(x-e) >> 63)
	}
	return n
}

// lookUp gives the entry of a table by the number of edges passed.
func lookUp(c *Columns, s *step, n int) {
	loopLookUp(c.cols[s.out][:n], c.cols[s.args[0]], s.edges, s.k)
}

// band looks up among edges that vary.
func band(c *Columns, s *step, n int) {
	out, args := c.cols[s.out][:n], c.gather(s, n)
	for i := range out {
		at, cell := 0, 0
		for k := range s.node.Axes {
			axis := &s.node.Axes[k]
			index, next := bandIndex(axis, args, at, i)
			if index < 0 {
				cell = -1
			} else if cell >= 0 {
				cell = cell*axis.Count() + index
			}
			at = next
		}
		v := math.NaN()
		if cell >= 0 {
			v = args[at+cell][i]
		}
		out[i] = v
	}
}

// bandIndex gives the band, from 0, of an axis whose arguments start at a place,
// and the place after them. It is −1 outside the outer edges, and where the axis
// lacks a value.
func bandIndex(axis *graph.Bands, args [][]float64, at, i int) (index, next int) {
	x := args[at][i]
	inside := !math.IsNaN(x)
	edge := func() int {
		at++
		e := args[at][i]
		inside = inside && !math.IsNaN(e)
		return order(x, e)
	}
	if axis.HasLow {
		o := edge()
		inside = inside && (o > 0 || o == 0 && axis.LowClosed)
	}
	for _, belowClosed := range axis.BelowClosed {
		if o := edge(); o > 0 || o == 0 && !belowClosed {
			index++
		}
	}
	if axis.HasHigh {
		o := edge()
		inside = inside && (o < 0 || o == 0 && axis.HighClosed)
	}
	if !inside {
		index = -1
	}
	return index, at + 1
}
