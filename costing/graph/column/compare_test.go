package column_test

import (
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// tolerance is how far a figure may be from the exact one, relative to the largest
// of its arguments.
const tolerance = 1e-9

// judge compares figures with those of one exact evaluation.
type judge struct {
	g      *graph.Graph
	v      *exact.Values
	values []float64 // NaN where there is none
	sizes  []float64 // what the tolerance is relative to
}

func newJudge(g *graph.Graph, pins exact.Pins) (*judge, error) {
	v, err := exact.Evaluate(g, pins)
	if err != nil {
		return nil, err
	}
	j := &judge{g: g, v: v, values: make([]float64, g.Len()), sizes: make([]float64, g.Len())}
	for id := range j.values {
		j.values[id] = math.NaN()
		if d, ok := v.Raw(graph.ID(id)); ok {
			j.values[id] = approximate(d)
		}
		j.sizes[id] = j.size(graph.ID(id))
	}
	return j, nil
}

// size is the figure or the largest of its arguments. What is selected from others
// has rounded as they have: the smaller of 1 and ln 1 is 0, but for the rounding
// of a logarithm of 1.
func (j *judge) size(id graph.ID) float64 {
	n := j.g.Node(id)
	size := math.Abs(j.values[id])
	if !(size >= 0) {
		size = 0
	}
	for _, a := range n.Args {
		v := math.Abs(j.values[a])
		switch n.Op {
		case graph.Minimum, graph.Maximum, graph.At, graph.Choose, graph.Band, graph.Band2:
			v = j.sizes[a]
		}
		if v > size {
			size = v
		}
	}
	return size
}

// approximate is a decimal to fifteen digits, without the detour by fractions.
func approximate(d decimal.Decimal) float64 {
	if d.NumDigits() <= 18 {
		if e := int(d.Exponent()); e < 0 {
			return float64(d.CoefficientInt64()) / math.Pow10(-e)
		}
		return float64(d.CoefficientInt64()) * math.Pow10(int(d.Exponent()))
	}
	f, _ := d.Coefficient().Float64()
	return f / math.Pow10(-int(d.Exponent()))
}

// agrees reports whether a figure is the exact one but for binary rounding.
func (j *judge) agrees(id graph.ID, got float64) bool {
	want := j.values[id]
	if math.IsNaN(want) || math.IsNaN(got) {
		return math.IsNaN(want) && math.IsNaN(got)
	}
	return math.Abs(got-want) <= tolerance*j.sizes[id] && j.wholeAgrees(id, got, want)
}

// wholeAgrees compares the number of steps of a stepped figure, as far as binary
// numbers can count.
func (j *judge) wholeAgrees(id graph.ID, got, want float64) bool {
	n := j.g.Node(id)
	switch n.Op {
	case graph.Floor, graph.Ceiling, graph.Round, graph.RoundEven:
		step := j.values[n.Args[1]]
		return math.Round(got/step) == math.Round(want/step) || math.Abs(want/step) > 1e9
	}
	return true
}

// doubtful reports whether binary rounding may decide a figure: it lies beside a
// step, an edge or a tie, though not on it, or it is what is left of terms that
// cancel.
func (j *judge) doubtful(id graph.ID) bool {
	n := j.g.Node(id)
	arg := func(i int) float64 { return j.values[n.Args[i]] }
	switch n.Op {
	case graph.Floor, graph.Ceiling:
		q := arg(0) / arg(1)
		return beside(q, math.Round(q))
	case graph.Round, graph.RoundEven:
		q := arg(0) / arg(1)
		return beside(q, math.Floor(q)+0.5)
	case graph.Choose, graph.Check:
		return beside(arg(0), arg(1))
	case graph.Least:
		return j.besideAny(n.Args, n.Args)
	case graph.At:
		return beside(arg(0), math.Round(arg(0)))
	case graph.Band, graph.Band2:
		axes, _ := n.BandArgs()
		for i, a := range axes {
			edges := a.Edges
			if n.Axes[i].HasLow {
				edges = append(edges[:len(edges):len(edges)], a.Low)
			}
			if n.Axes[i].HasHigh {
				edges = append(edges[:len(edges):len(edges)], a.High)
			}
			if j.besideAny([]graph.ID{a.X}, edges) {
				return true
			}
		}
	case graph.Add, graph.Subtract, graph.SumProducts:
		return j.cancels(id)
	}
	return false
}

func (j *judge) besideAny(xs, edges []graph.ID) bool {
	for _, x := range xs {
		for _, e := range edges {
			if x != e && beside(j.values[x], j.values[e]) {
				return true
			}
		}
	}
	return false
}

// beside reports whether two figures are apart by so little that rounding in
// binary could hide or make the difference. Being equal is no doubt.
func beside(a, b float64) bool {
	d := math.Abs(a - b)
	return d > 1e-15*math.Abs(a)*8 && d < 1e-7
}

func (j *judge) cancels(id graph.ID) bool {
	n, sum := j.g.Node(id), math.Abs(j.values[id])
	for i, a := range n.Args {
		term := j.values[a]
		if n.Op == graph.SumProducts {
			term = j.values[n.Args[i&^1]] * j.values[n.Args[i|1]]
		}
		if sum < math.Abs(term)*1e-5 {
			return true
		}
	}
	return false
}
