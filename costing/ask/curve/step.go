package curve

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// form is how a step node steps.
type form uint8

const (
	count   form = iota // its value is its state: a multiple, an index, a check
	arm                 // choose: one of two arms
	cell                // band: one of the values
	extreme             // minimum or maximum: one of the arguments
	found               // decided: the value itself
)

// maxExtreme is how many arguments of a minimum or maximum are told apart.
const maxExtreme = 64

// step is a node that can step, with what tells its state.
type step struct {
	node graph.ID
	form form
	// probes are added figures: for an arm 1 or 0, for a cell its index from 1,
	// for an extreme one per choice, 1 where the argument is the extreme.
	probes []graph.ID
	// choices are the figures the node takes its value from: for an arm
	// "otherwise" and "then", so that the probe is the index. None for a count.
	choices []graph.ID
	// asks are the arguments that decide.
	asks  []graph.ID
	plain bool // a count that is a plain number: an index, a check
}

// newStep gives the step node of a figure and adds its probes; ok is false for an
// operation that does not step.
func newStep(s graph.Scope, g *graph.Graph, id graph.ID) (st step, ok bool) {
	n := g.Node(id)
	st = step{node: id, form: count, asks: n.Args}
	name := strconv.Itoa(int(id))
	switch n.Op {
	case graph.Floor, graph.Ceiling, graph.Round, graph.RoundEven:
	case graph.Least, graph.Check:
		st.plain = true
	case graph.Decided:
		st.form, st.asks = found, n.RestsOn()
	case graph.Choose:
		st.form, st.asks, st.choices = arm, n.Args[:2], []graph.ID{n.Args[3], n.Args[2]}
		st.probes = []graph.ID{s.Check(name, "arm of "+n.Label, n.Args[0], n.Compare, n.Args[1])}
	case graph.Band, graph.Band2:
		st.cells(s, name, n)
	case graph.Minimum, graph.Maximum:
		st.form, st.choices = extreme, n.Args[:min(len(n.Args), maxExtreme)]
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
	st.form, st.choices, st.asks = cell, values, n.Args[:len(n.Args)-len(values)]
	indices := make([]graph.ID, len(values))
	for i := range values {
		text := strconv.Itoa(i + 1)
		indices[i] = s.Fixed("index-"+text, text, graph.Plain, decimal.New(int64(i+1), 0), "definition")
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

// state is the state of a step at one quantity: how many multiples a count is,
// the index of a choice from 0, or the set of equal extremes. Two states of one
// step differ if and only if it is somewhere else (of extremes: see relabel).
type state uint64

const undefined = state(1) << 63

// size is the argument that a count is a multiple of; graph.None for a plain
// number.
func (st *step) size() graph.ID {
	if st.form == count && !st.plain {
		return st.asks[1]
	}
	return graph.None
}

// stateOf reads the state from the value of the node, the size of its multiples
// and its probes.
func (st *step) stateOf(value, size float64, probe func(i int) float64) state {
	switch st.form {
	case arm:
		return index(probe(0))
	case cell:
		return index(probe(0) - 1)
	case extreme:
		var set state
		for i := range st.probes {
			if probe(i) == 1 {
				set |= 1 << i
			}
		}
		return set
	case found:
		if math.IsNaN(value) {
			return undefined
		}
		return state(math.Float64bits(value))
	}
	return index(value / size)
}

func index(v float64) state {
	if math.IsNaN(v) || math.Abs(v) > 1<<62 {
		return undefined
	}
	return state(int64(math.Round(v)))
}

// figures are exact values.
type figures interface {
	Raw(id graph.ID) (d decimal.Decimal, ok bool)
}

// exactState is the state by exact values.
func (st *step) exactState(v figures) state {
	size := 1.0
	if id := st.size(); id != graph.None {
		size = float(v, id)
	}
	return st.stateOf(float(v, st.node), size, func(i int) float64 { return float(v, st.probes[i]) })
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
	if int(min(s, math.MaxInt32)) >= len(st.choices) {
		return graph.None, false
	}
	return st.choices[s], true
}
