package curve

import (
	"math"
	"slices"

	"kerfbook/costing/graph"
)

// The column evaluator takes what lies within the rounding of binary numbers of a
// step or a tie to lie on it. Here such cases are found, so that the exact
// evaluator can settle them. snapUnit and the halves below are those of
// [graph.SnapPlaces].
const (
	snapUnit = 1e9
	snapHalf = 0.5e-9
	// relative and absolute bound what a binary figure is off by: the evaluators
	// agree to about twelve digits of the largest argument, differences of
	// amounts of 10⁵ included.
	relative = 1.5e-14
	absolute = 1e-10
	same     = 1e-15 // relative, of equal binary figures
)

func blur(v float64) float64 { return relative*math.Abs(v) + absolute }

// doubtfulOrder reports that a and b are so near to one another that the order of
// the exact figures, snapped to nine places, may be another.
func doubtfulOrder(a, b float64) bool {
	d := math.Abs(a - b)
	switch {
	case d > 1 && d > 1e-12*math.Abs(a): // nearly always
		return false
	case a == b: // the same figure got in the same way, or very nearly so
		return doubtfulSnap(a, same*math.Abs(a))
	case !(d <= 1/snapUnit+blur(a)+blur(b)):
		return false
	}
	return doubtfulSnap(a, blur(a)) || doubtfulSnap(b, blur(b))
}

// doubtfulSnap reports that the ninth place of v, which is off by up to so much,
// may be rounded otherwise.
func doubtfulSnap(v, off float64) bool {
	t := math.Abs(v) * snapUnit
	return math.Abs(t-math.Floor(t)-0.5) <= off*snapUnit
}

// doubtfulStep reports that x ÷ step is so near to where it steps that the exact
// quotient may be on the other side.
func doubtfulStep(op graph.Op, x, step float64) bool {
	r := math.Abs(x / step)
	e, rest := blur(r), r-math.Floor(r)
	near := func(place float64) bool { return math.Abs(rest-place) <= e }
	if op == graph.Round || op == graph.RoundEven {
		return near(0.5-snapHalf) || near(0.5+snapHalf)
	}
	return near(snapHalf) || near(1-snapHalf)
}

// doubts marks the quantities at which the state of a step may be another by exact
// figures. table holds the columns by figure.
func (st *step) doubts(n graph.Operation, table [][]float64, out []bool) {
	switch n.Op {
	case graph.Floor, graph.Ceiling, graph.Round, graph.RoundEven:
		x, size := table[n.Args[0]], table[n.Args[1]]
		for k := range out {
			out[k] = out[k] || doubtfulStep(n.Op, x[k], size[k])
		}
	case graph.Decided: // its inputs are whole, or do not move
	case graph.Choose, graph.Check:
		doubtsOfOrder(table[n.Args[0]], table[n.Args[1]], out)
	case graph.Band, graph.Band2:
		doubtsOfCell(n, table, out)
	case graph.Least:
		least := make([]float64, len(out))
		copy(least, table[n.Args[0]])
		for _, a := range n.Args[1:] {
			for k, v := range table[a][:len(out)] {
				least[k] = math.Min(least[k], v)
			}
		}
		doubtsAmong(n.Args, least, table, out)
	default:
		doubtsAmong(st.choices, table[st.node], table, out)
	}
}

func doubtsOfOrder(a, b []float64, out []bool) {
	for k := range out {
		out[k] = out[k] || doubtfulOrder(a[k], b[k])
	}
}

// doubtsAmong leaves out the figure, one at each quantity, that the value itself
// comes from.
func doubtsAmong(args []graph.ID, value []float64, table [][]float64, out []bool) {
	for k := range out {
		own := true
		for _, a := range args {
			v := table[a][k]
			if own && v == value[k] {
				own = false
			} else {
				out[k] = out[k] || doubtfulOrder(v, value[k])
			}
		}
	}
}

func doubtsOfCell(n graph.Operation, table [][]float64, out []bool) {
	axes, _ := n.BandArgs()
	for i, axis := range axes {
		edges := slices.Clone(axis.Edges)
		if n.Axes[i].HasLow {
			edges = append(edges, axis.Low)
		}
		if n.Axes[i].HasHigh {
			edges = append(edges, axis.High)
		}
		for _, edge := range edges {
			doubtsOfOrder(table[axis.X], table[edge], out)
		}
	}
}
