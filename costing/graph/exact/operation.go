package exact

import "kerfbook/costing/graph"

// operation computes a node whose arguments have been computed. cause is defined,
// or the figure that leaves the node without a value: the node itself if its own
// operation has none.
type operation func(r *run, n *graph.Operation, id graph.ID) (v num, cause graph.ID)

// operations has one entry per operation.
var operations = [graph.OpCount]operation{
	graph.Constant:    constant,
	graph.Range:       constant,
	graph.Add:         each(func(a []num) num { return add(a...) }),
	graph.Multiply:    each(multiplyAll),
	graph.Subtract:    each(func(a []num) num { return add(a[0], a[1].negated()) }),
	graph.Divide:      within(notByZero, func(a []num) num { return divide(a[0], a[1]) }),
	graph.SumProducts: each(sumProducts),
	graph.Minimum:     each(func(a []num) num { return extreme(a, -1) }),
	graph.Maximum:     each(func(a []num) num { return extreme(a, 1) }),
	graph.Least:       each(least),
	graph.At:          at,
	graph.Floor:       within(positiveStep, func(a []num) num { return toStep(a[0], a[1], floorStep) }),
	graph.Ceiling:     within(positiveStep, func(a []num) num { return toStep(a[0], a[1], ceilingStep) }),
	graph.Round:       within(positiveStep, func(a []num) num { return toStep(a[0], a[1], roundStep) }),
	graph.RoundEven:   within(positiveStep, func(a []num) num { return toStep(a[0], a[1], evenStep) }),
	graph.Power:       costly(powerDomain, func(a []num) num { return power(a[0], a[1]) }),
	graph.SquareRoot:  within(notNegative, func(a []num) num { return squareRoot(a[0]) }),
	graph.NaturalLog:  costly(positive, func(a []num) num { return naturalLog(a[0]) }),
	graph.ArcCosine:   costly(cosineDomain, func(a []num) num { return arcCosine(a[0]) }),
	graph.Band:        band,
	graph.Band2:       band,
	graph.Choose:      choose,
	graph.Decided:     decide,
	graph.Check:       check,
}

func constant(r *run, _ *graph.Operation, id graph.ID) (num, graph.ID) {
	return lenient(r.g.Value(id)), defined
}

// each makes an operation of a function of all arguments that has a value for
// all of them.
func each(f func([]num) num) operation {
	return func(r *run, n *graph.Operation, _ graph.ID) (num, graph.ID) {
		args, cause := r.arguments(n)
		if cause != defined {
			return num{}, cause
		}
		return f(args), defined
	}
}

// within makes an operation of a function that has a value only for arguments in
// its domain.
func within(domain func([]num) bool, f func([]num) num) operation {
	return func(r *run, n *graph.Operation, id graph.ID) (num, graph.ID) {
		args, cause := r.arguments(n)
		switch {
		case cause != defined:
			return num{}, cause
		case !domain(args):
			return num{}, id
		}
		return f(args), defined
	}
}

// call is a function with its arguments.
type call struct {
	op   graph.Op
	args [2]num
}

// costly is within of a function that takes long to work out: one evaluation asks it once
// for the same arguments. A part has many features alike.
func costly(domain func([]num) bool, f func([]num) num) operation {
	op := within(domain, f)
	return func(r *run, n *graph.Operation, id graph.ID) (num, graph.ID) {
		of := call{op: n.Op}
		for i, a := range n.Args {
			if r.causes[a] != defined {
				return num{}, r.causes[a]
			}
			of.args[i] = r.values[a]
		}
		if v, known := r.worked[of]; known {
			return v, defined
		}
		v, cause := op(r, n, id)
		if cause == defined {
			r.worked[of] = v
		}
		return v, cause
	}
}

// arguments gives the values of all arguments, until the next call, or the cause
// of the first that has none.
func (r *run) arguments(n *graph.Operation) ([]num, graph.ID) {
	r.args = r.args[:0]
	for _, a := range n.Args {
		// The first in order is blamed, so that the same graph always names the same.
		if cause := r.causes[a]; cause != defined {
			return nil, cause
		}
		r.args = append(r.args, r.values[a])
	}
	return r.args, defined
}

func notByZero(a []num) bool    { return !a[1].isZero() }
func positiveStep(a []num) bool { return a[1].sign() > 0 }
func notNegative(a []num) bool  { return a[0].sign() >= 0 }
func positive(a []num) bool     { return a[0].sign() > 0 }

func cosineDomain(a []num) bool {
	size := a[0]
	size.neg = false
	return size.cmp(fromInt(1)) <= 0
}

func powerDomain(a []num) bool {
	size := a[1]
	size.neg = false
	return a[0].sign() > 0 && size.cmp(fromInt(maxExponent)) <= 0
}

// extreme gives the smallest (sign −1) or largest (sign 1) of the arguments.
func extreme(a []num, sign int) num {
	best := a[0]
	for _, v := range a[1:] {
		if v.cmp(best) == sign {
			best = v
		}
	}
	return best
}

// least gives the index, from 1, of the smallest argument by the ninth place. Costs
// that differ later than that are equal, and the first wins: an offer or tool must
// not be chosen by what a division left over, and a draw in binary numbers has to
// choose the same.
func least(a []num) num {
	best, index := a[0].snapped(), 0
	for i, v := range a[1:] {
		if s := v.snapped(); s.cmp(best) < 0 {
			best, index = s, i+1
		}
	}
	return fromInt(uint64(index) + 1)
}
