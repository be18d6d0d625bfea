package column

import "math"

// loops are the loops that kernels run. There is one set, or two where the machine
// can compute several draws with one instruction; their results are the same, bit
// by bit.
type loops struct {
	linear1     func(out, x []float64, base, k float64)
	linear2     func(out, x, y []float64, base, k, l float64)
	linear3     func(out, x, y, z []float64, base, k, l, m float64)
	linear4     func(out, x, y, z, w []float64, base, k, l, m, p float64)
	addLinear1  func(out, x []float64, k float64)
	addLinear2  func(out, x, y []float64, k, l float64)
	addLinear3  func(out, x, y, z []float64, k, l, m float64)
	addLinear4  func(out, x, y, z, w []float64, k, l, m, p float64)
	product     func(out, x, y []float64, base, k float64)
	addProduct  func(out, x, y []float64, k float64)
	reciprocals func(out, x []float64)
	minimum     func(out, x, y []float64)
	maximum     func(out, x, y []float64)
	minimumOf   func(out, x []float64, limit float64)
	maximumOf   func(out, x []float64, limit float64)
	floors      func(out, x []float64, k, base, step float64)
	ceilings    func(out, x []float64, k, base, step float64)
	rounds      func(out, x []float64, k, base, step float64)
	evens       func(out, x []float64, k, base, step float64)
	within      func(out, x, yes, no []float64, from, below float64)
	ordered     func(out, x, y, yes, no []float64, t test)
	lookUp      func(out, x, edges, table []float64)
	least       func(out []float64, args [][]float64)
	pick        func(out, index []float64, args [][]float64)
}

var plain = loops{
	linear1:     plainLinear1,
	linear2:     plainLinear2,
	linear3:     plainLinear3,
	linear4:     plainLinear4,
	addLinear1:  plainAddLinear1,
	addLinear2:  plainAddLinear2,
	addLinear3:  plainAddLinear3,
	addLinear4:  plainAddLinear4,
	product:     plainProduct,
	addProduct:  plainAddProduct,
	reciprocals: plainReciprocals,
	minimum:     plainMinimum,
	maximum:     plainMaximum,
	minimumOf:   plainMinimumOf,
	maximumOf:   plainMaximumOf,
	floors:      plainFloors,
	ceilings:    plainCeilings,
	rounds:      plainRounds,
	evens:       plainEvens,
	within:      plainWithin,
	ordered:     plainOrdered,
	lookUp:      plainLookUp,
	least:       plainLeast,
	pick:        plainPick,
}

// The loops run over plain slices; arguments are at least as long as out. Products
// are converted before they are added, so that no machine fuses the two and draws
// come out the same everywhere.

func plainLinear1(out, x []float64, base, k float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = base + float64(x[i]*k)
	}
}

func plainLinear2(out, x, y []float64, base, k, l float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = base + float64(x[i]*k) + float64(y[i]*l)
	}
}

func plainLinear3(out, x, y, z []float64, base, k, l, m float64) {
	x, y, z = x[:len(out)], y[:len(out)], z[:len(out)]
	for i := range out {
		out[i] = base + float64(x[i]*k) + float64(y[i]*l) + float64(z[i]*m)
	}
}

func plainLinear4(out, x, y, z, w []float64, base, k, l, m, p float64) {
	x, y, z, w = x[:len(out)], y[:len(out)], z[:len(out)], w[:len(out)]
	for i := range out {
		out[i] = base + float64(x[i]*k) + float64(y[i]*l) + float64(z[i]*m) + float64(w[i]*p)
	}
}

func plainAddLinear1(out, x []float64, k float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] += float64(x[i] * k)
	}
}

func plainAddLinear2(out, x, y []float64, k, l float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = out[i] + float64(x[i]*k) + float64(y[i]*l)
	}
}

func plainAddLinear3(out, x, y, z []float64, k, l, m float64) {
	x, y, z = x[:len(out)], y[:len(out)], z[:len(out)]
	for i := range out {
		out[i] = out[i] + float64(x[i]*k) + float64(y[i]*l) + float64(z[i]*m)
	}
}

func plainAddLinear4(out, x, y, z, w []float64, k, l, m, p float64) {
	x, y, z, w = x[:len(out)], y[:len(out)], z[:len(out)], w[:len(out)]
	for i := range out {
		out[i] = out[i] + float64(x[i]*k) + float64(y[i]*l) + float64(z[i]*m) + float64(w[i]*p)
	}
}

func plainProduct(out, x, y []float64, base, k float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = base + float64(float64(x[i]*y[i])*k)
	}
}

func plainAddProduct(out, x, y []float64, k float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] += float64(float64(x[i]*y[i]) * k)
	}
}

// plainReciprocals has no value at 0.
func plainReciprocals(out, x []float64) {
	x = x[:len(out)]
	for i := range out {
		v := 1 / x[i]
		if x[i] == 0 {
			v = math.NaN()
		}
		out[i] = v
	}
}

func plainMinimum(out, x, y []float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = min(x[i], y[i])
	}
}

func plainMaximum(out, x, y []float64) {
	x, y = x[:len(out)], y[:len(out)]
	for i := range out {
		out[i] = max(x[i], y[i])
	}
}

func plainMinimumOf(out, x []float64, limit float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = min(x[i], limit)
	}
}

func plainMaximumOf(out, x []float64, limit float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = max(x[i], limit)
	}
}

func plainFloors(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = floorStep(base+float64(x[i]*k)) * step
	}
}

func plainCeilings(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = ceilingStep(base+float64(x[i]*k)) * step
	}
}

func plainRounds(out, x []float64, k, base, step float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = roundStep(base+float64(x[i]*k)) * step
	}
}

func plainEvens(out, x []float64, k, base, step float64) {
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

// plainWithin gives yes for from ≤ x < below, no elsewhere, and nothing without x. It
// works on bits so that nothing has to be predicted.
func plainWithin(out, x, yes, no []float64, from, below float64) {
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

// plainOrdered gives yes where the test of x against y holds, no elsewhere, and nothing
// without both.
func plainOrdered(out, x, y, yes, no []float64, t test) {
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

// plainLookUp gives the entry of a table by the number of edges passed.
func plainLookUp(out, x, edges, table []float64) {
	x = x[:len(out)]
	for i, a := range x {
		v := table[passed(edges, a)]
		if a != a {
			v = a
		}
		out[i] = v
	}
}

// plainLeast gives the index, from 1, of the smallest argument by the ninth place;
// the first on ties, and nothing without all of them. It selects by signs: which
// one is least can seldom be foreseen.
func plainLeast(out []float64, args [][]float64) {
	for i := range out {
		plainLeastAt(out, args, i)
	}
}

func plainLeastAt(out []float64, args [][]float64, i int) {
	x := args[0][i]
	best, index, all := snapped(x), 1, x
	for k := 1; k < len(args); k++ {
		x := args[k][i]
		all += x // NaN if any of them is
		v := snapped(x)
		// Adding 0 makes 0 of −0, so that equal numbers have no sign.
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

// plainPick gives the argument with an index, from 1; the others need no value.
func plainPick(out, index []float64, args [][]float64) {
	index = index[:len(out)]
	for i := range out {
		plainPickAt(out, index, args, i)
	}
}

func plainPickAt(out, index []float64, args [][]float64, i int) {
	v := math.NaN()
	if k := wholeIndex(index[i], len(args)); k > 0 {
		v = args[k-1][i]
	}
	out[i] = v
}
