package curve

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// maxExtreme is how many arguments of a minimum or maximum are told apart.
const maxExtreme = 63

// step is a node that can step, with what tells its state.
type step struct {
	node graph.ID
	// choices are the figures the node takes its value from, by its state: for an arm
	// "otherwise" and "then", the values of a band, the arguments of an extreme. None for
	// a count.
	choices []graph.ID
	// probes are figures whose values are the state: a count itself, the index of a choice
	// from 0; of an extreme one per choice, 1 where it is the extreme.
	probes []graph.ID
	size   graph.ID   // that a count is a multiple of; None for any other
	asks   []graph.ID // the arguments that decide
	sets   bool       // an extreme
}

// newStep gives the step node of a figure and adds its probes; ok is false for an
// operation that does not step.
func newStep(s graph.Scope, g *graph.Graph, id graph.ID) (st step, ok bool) {
	n := g.Node(id)
	name := strconv.Itoa(int(id))
	st = step{node: id, asks: n.RestsOn(), size: graph.None, probes: []graph.ID{id}}
	switch n.Op {
	case graph.Floor, graph.Ceiling, graph.Round, graph.RoundEven:
		st.size = n.Args[1]
	case graph.Least, graph.Check, graph.Decided:
	case graph.Choose:
		st.asks, st.choices = n.Args[:2], []graph.ID{n.Args[3], n.Args[2]}
		st.probes = []graph.ID{s.Check(name, "arm of "+n.Label, n.Args[0], n.Compare, n.Args[1])}
	case graph.Band, graph.Band2:
		st.cells(s, name, n)
	case graph.Minimum, graph.Maximum:
		st.sets, st.choices, st.probes = true, n.Args[:min(len(n.Args), maxExtreme)], nil
		for i, a := range st.choices {
			st.probes = append(st.probes, s.Check(name+"/"+strconv.Itoa(i), "argument of "+n.Label, id, graph.Equal, a))
		}
	default:
		return step{}, false
	}
	return st, true
}

// cells looks the index of the cell up by the same axes.
func (st *step) cells(s graph.Scope, name string, n graph.Node) {
	axes, values := n.BandArgs()
	st.choices, st.asks = values, n.Args[:len(n.Args)-len(values)]
	indices := make([]graph.ID, len(values))
	for i := range values {
		text := strconv.Itoa(i)
		indices[i] = s.Fixed("index-"+text, text, graph.Plain, decimal.New(int64(i), 0), "definition")
	}
	axis := func(i int) graph.Axis {
		return graph.Axis{X: axes[i].X, Bands: n.Axes[i], Low: axes[i].Low, High: axes[i].High, Edges: axes[i].Edges}
	}
	label := "cell of " + n.Label
	if len(axes) == 2 {
		st.probes = []graph.ID{s.Band2(name, label, axis(0), axis(1), indices...)}
		return
	}
	st.probes = []graph.ID{s.Band(name, label, axis(0), indices...)}
}

// state is the state of a step at one quantity: how many multiples a count is, the index
// of a choice, or the set of equal extremes and, once that is settled, the index of the
// one taken. Two states of one step differ if and only if it is somewhere else.
type state uint64

// undefined is no state: no set of extremes, and the bits of no number.
const undefined = state(1) << 63

// stateOf reads the state off the figures.
func (st *step) stateOf(value func(id graph.ID) float64) state {
	if st.sets {
		var set state
		for i, p := range st.probes {
			if value(p) == 1 {
				set |= 1 << i
			}
		}
		return set
	}
	v := value(st.probes[0])
	if st.size != graph.None {
		v = math.Round(v / value(st.size))
	}
	switch {
	case math.IsNaN(v):
		return undefined
	case st.choices != nil:
		return state(v)
	}
	return state(math.Float64bits(v + 0)) // one nothing, not two
}

// figures are exact values.
type figures interface {
	Raw(id graph.ID) (d decimal.Decimal, ok bool)
}

// exactState is the state by exact values.
func (st *step) exactState(v figures) state {
	return st.stateOf(func(id graph.ID) float64 { return float(v, id) })
}

// float gives an exact figure in binary, NaN if it has no value.
func float(v figures, id graph.ID) float64 {
	d, ok := v.Raw(id)
	if !ok {
		return math.NaN()
	}
	return d.InexactFloat64()
}

// taken is the figure that a choice takes its value from in a state; ok is false
// where there is none.
func (st *step) taken(s state) (id graph.ID, ok bool) {
	if st.choices == nil || s >= state(len(st.choices)) {
		return graph.None, false
	}
	return st.choices[s], true
}
