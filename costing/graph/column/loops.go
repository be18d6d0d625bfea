package column

import "math"

// The loops run over plain slices; arguments are at least as long as out. Products
// are converted before they are added, so that no machine fuses the two and draws
// come out the same everywhere.

func loopAddTwo(out, x, y []float64, k, l float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = out[i] + float64(x[i]*k) + float64(y[i]*l)
	}
}

func loopAddLinear(out, x []float64, k float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] += float64(x[i] * k)
	}
}

func loopAddProduct(out, x, y []float64, k float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] += float64(float64(x[i]*y[i]) * k)
	}
}

// loopReciprocals has no value at 0.
func loopReciprocals(out, x []float64) {
	x = x[:len(out)]
	for i := range out {
		v := 1 / x[i]
		if x[i] == 0 {
			v = math.NaN()
		}
		out[i] = v
	}
}

func loopMinimum(out, x, y []float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = min(x[i], y[i])
	}
}

func loopMaximum(out, x, y []float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = max(x[i], y[i])
	}
}

func loopMinimumOf(out, x []float64, limit float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = min(x[i], limit)
	}
}

func loopMaximumOf(out, x []float64, limit float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = max(x[i], limit)
	}
}

func loopFloors(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = floorStep(base+float64(x[i]*k)) * step
	}
}

func loopCeilings(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = ceilingStep(base+float64(x[i]*k)) * step
	}
}

func loopRounds(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = roundStep(base+float64(x[i]*k)) * step
	}
}

func loopEvens(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = evenStep(base+float64(x[i]*k)) * step
	}
}

// either gives a where all bits of the mask are set and b where none is.
func either(mask uint64, a, b float64) float64 {
	y, n := math.Float64bits(a), math.Float64bits(b)
	return math.Float64frombits(n ^ (n^y)&mask)
}

var noValue = math.Float64bits(math.NaN())

// loopWithin gives yes for from ≤ x < below, no elsewhere, and nothing without x. It
// works on bits so that nothing has to be predicted.
func loopWithin(out, x, yes, no []float64, from, below float64) {
	x, yes, no = x[:len(out)], yes[:len(out)], no[:len(out)]
	none := noValue
	for i := range out {
		a, n := x[i], math.Float64bits(no[i])
		v := n
		if a >= from {
			v = math.Float64bits(yes[i])
		}
		if a >= below {
			v = n
		}
		if a != a {
			v = none
		}
		out[i] = math.Float64frombits(v)
	}
}

// loopOrdered gives yes where the test of x against y holds, no elsewhere, and nothing
// without both.
func loopOrdered(out, x, y, yes, no []float64, t test) {
	x, y, yes, no = x[:len(out)], y[:len(out)], yes[:len(out)], no[:len(out)]
	none := noValue
	for i := range out {
		a := snapped(x[i])
		d, room := a-snapped(y[i]), math.Abs(a)*slack
		mask := t.equal
		if d > room {
			mask = t.more
		}
		if d < -room {
			mask = t.less
		}
		n := math.Float64bits(no[i])
		v := n ^ (n^math.Float64bits(yes[i]))&mask
		if d != d {
			v = none
		}
		out[i] = math.Float64frombits(v)
	}
}

// loopLookUp gives the entry of a table by the number of edges passed.
func loopLookUp(out, x, edges, table []float64) {
	x = x[:len(out)]
	for i, a := range x {
		v := table[passed(edges, a)]
		if a != a {
			v = a
		}
		out[i] = v
	}
}

// loopLeast gives the index, from 1, of the smallest argument by the ninth place;
// the first on ties, and nothing without all of them. It selects by signs: which
// one is least can seldom be foreseen.
func loopLeast(out []float64, args [][]float64) {
	for i := range out {
		loopLeastAt(out, args, i)
	}
}

func loopLeastAt(out []float64, args [][]float64, i int) {
	x := args[0][i]
	best, index, all := snapped(x), 1, x
	for k := 1; k < len(args); k++ {
		x := args[k][i]
		all += x // NaN if any of them is
		v := snapped(x)
		// Adding 0 makes 0 of −0, so that equal numbers have no sign.
		// Less by more than rounding only: on a tie the first stays, as in exact.
		below := uint64(int64(math.Float64bits(v-(best-float64(math.Abs(best)*slack))+0)) >> 63)
		best = either(below, v, best)
		index ^= (index ^ (k + 1)) & int(below)
	}
	v := float64(index)
	if all != all {
		v = math.NaN()
	}
	out[i] = v
}

// loopPick gives the argument with an index, from 1; the others need no value.
func loopPick(out, index []float64, args [][]float64) {
	index = index[:len(out)]
	for i := range out {
		loopPickAt(out, index, args, i)
	}
}

func loopPickAt(out, index []float64, args [][]float64, i int) {
	v := math.NaN()
	if k := wholeIndex(index[i], len(args)); k > 0 {
		v = args[k-1][i]
	}
	out[i] = v
}
