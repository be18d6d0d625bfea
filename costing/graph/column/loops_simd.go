//go:build goexperiment.simd && amd64

package column

import (
	"math"
	"simd/archsimd"
	"unsafe"
)

// fast computes four draws with one instruction where the machine can.
//
// Every loop clears the upper halves of the registers before it leaves: with them
// in use, the ordinary functions that come next are many times slower. What is left
// over at the end of a column goes through the plain loop.
var fast = func() loops {
	if !archsimd.X86.AVX2() {
		return plain
	}
	return loops{
		linear1: vectorLinear1, linear2: vectorLinear2, linear3: vectorLinear3, linear4: vectorLinear4,
		addLinear1: vectorAddLinear1, addLinear2: vectorAddLinear2, addLinear3: vectorAddLinear3, addLinear4: vectorAddLinear4,
		product: vectorProduct, addProduct: vectorAddProduct, reciprocals: vectorReciprocals,
		minimum: vectorMinimum, maximum: vectorMaximum, minimumOf: vectorMinimumOf, maximumOf: vectorMaximumOf,
		floors: vectorFloors, ceilings: vectorCeilings, rounds: vectorRounds, evens: plainEvens,
		within: vectorWithin, ordered: vectorOrdered, lookUp: vectorLookUp, least: vectorLeast, pick: vectorPick,
	}
}()

type four = archsimd.Float64x4

func load(x []float64) four { return archsimd.LoadFloat64x4Slice(x) }

// fours are the whole fours of a column, n of them.
func fours(x []float64, n int) [][4]float64 {
	if n == 0 {
		return nil
	}
	x = x[:4*n]
	return unsafe.Slice((*[4]float64)(unsafe.Pointer(&x[0])), n)
}

func take(x *[4]float64) four { return archsimd.LoadFloat64x4(x) }

func every(v float64) four { return archsimd.BroadcastFloat64x4(v) }

func both(x, mask four) four { return x.AsUint64x4().And(mask.AsUint64x4()).AsFloat64x4() }

func join(x, y four) four { return x.AsUint64x4().Or(y.AsUint64x4()).AsFloat64x4() }

// signBit has nothing but the sign set, sizeBits everything else.
var signBit, sizeBits = math.Copysign(0, -1), math.Float64frombits(1<<63 - 1)

func vectorLinear1(out, x []float64, base, k float64) {
	b, k4 := every(base), every(k)
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		b.Add(take(&x4[i]).Mul(k4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainLinear1(out[4*n:], x[4*n:], base, k)
}

func vectorLinear2(out, x, y []float64, base, k, l float64) {
	b, k4, l4 := every(base), every(k), every(l)
	n := len(out) / 4
	out4, x4, y4 := fours(out, n), fours(x, n), fours(y, n)
	for i := range out4 {
		b.Add(take(&x4[i]).Mul(k4)).Add(take(&y4[i]).Mul(l4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainLinear2(out[4*n:], x[4*n:], y[4*n:], base, k, l)
}

func vectorLinear3(out, x, y, z []float64, base, k, l, m float64) {
	b, k4, l4, m4 := every(base), every(k), every(l), every(m)
	n := len(out) / 4
	out4, x4, y4, z4 := fours(out, n), fours(x, n), fours(y, n), fours(z, n)
	for i := range out4 {
		b.Add(take(&x4[i]).Mul(k4)).Add(take(&y4[i]).Mul(l4)).Add(take(&z4[i]).Mul(m4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainLinear3(out[4*n:], x[4*n:], y[4*n:], z[4*n:], base, k, l, m)
}

func vectorLinear4(out, x, y, z, w []float64, base, k, l, m, p float64) {
	b, k4, l4, m4, p4 := every(base), every(k), every(l), every(m), every(p)
	n := len(out) / 4
	out4, x4, y4, z4, w4 := fours(out, n), fours(x, n), fours(y, n), fours(z, n), fours(w, n)
	for i := range out4 {
		b.Add(take(&x4[i]).Mul(k4)).Add(take(&y4[i]).Mul(l4)).Add(take(&z4[i]).Mul(m4)).Add(take(&w4[i]).Mul(p4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainLinear4(out[4*n:], x[4*n:], y[4*n:], z[4*n:], w[4*n:], base, k, l, m, p)
}

func vectorAddLinear1(out, x []float64, k float64) {
	k4 := every(k)
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		take(&out4[i]).Add(take(&x4[i]).Mul(k4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainAddLinear1(out[4*n:], x[4*n:], k)
}

func vectorAddLinear2(out, x, y []float64, k, l float64) {
	k4, l4 := every(k), every(l)
	n := len(out) / 4
	out4, x4, y4 := fours(out, n), fours(x, n), fours(y, n)
	for i := range out4 {
		take(&out4[i]).Add(take(&x4[i]).Mul(k4)).Add(take(&y4[i]).Mul(l4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainAddLinear2(out[4*n:], x[4*n:], y[4*n:], k, l)
}

func vectorAddLinear3(out, x, y, z []float64, k, l, m float64) {
	k4, l4, m4 := every(k), every(l), every(m)
	n := len(out) / 4
	out4, x4, y4, z4 := fours(out, n), fours(x, n), fours(y, n), fours(z, n)
	for i := range out4 {
		take(&out4[i]).Add(take(&x4[i]).Mul(k4)).Add(take(&y4[i]).Mul(l4)).Add(take(&z4[i]).Mul(m4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainAddLinear3(out[4*n:], x[4*n:], y[4*n:], z[4*n:], k, l, m)
}

func vectorAddLinear4(out, x, y, z, w []float64, k, l, m, p float64) {
	k4, l4, m4, p4 := every(k), every(l), every(m), every(p)
	n := len(out) / 4
	out4, x4, y4, z4, w4 := fours(out, n), fours(x, n), fours(y, n), fours(z, n), fours(w, n)
	for i := range out4 {
		take(&out4[i]).Add(take(&x4[i]).Mul(k4)).Add(take(&y4[i]).Mul(l4)).Add(take(&z4[i]).Mul(m4)).Add(take(&w4[i]).Mul(p4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainAddLinear4(out[4*n:], x[4*n:], y[4*n:], z[4*n:], w[4*n:], k, l, m, p)
}

func vectorProduct(out, x, y []float64, base, k float64) {
	b, k4 := every(base), every(k)
	n := len(out) / 4
	out4, x4, y4 := fours(out, n), fours(x, n), fours(y, n)
	for i := range out4 {
		b.Add(take(&x4[i]).Mul(take(&y4[i])).Mul(k4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainProduct(out[4*n:], x[4*n:], y[4*n:], base, k)
}

func vectorAddProduct(out, x, y []float64, k float64) {
	k4 := every(k)
	n := len(out) / 4
	out4, x4, y4 := fours(out, n), fours(x, n), fours(y, n)
	for i := range out4 {
		take(&out4[i]).Add(take(&x4[i]).Mul(take(&y4[i])).Mul(k4)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainAddProduct(out[4*n:], x[4*n:], y[4*n:], k)
}

func vectorReciprocals(out, x []float64) {
	one, zero, none := every(1), every(0), every(math.NaN())
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		a := take(&x4[i])
		none.Merge(one.Div(a), a.Equal(zero)).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainReciprocals(out[4*n:], x[4*n:])
}

// smaller is min as the language has it: nothing if either is nothing, and −0
// before 0. The instruction alone gives either operand in both cases.
func smaller(x, y, none four) four {
	m := join(x, y).Merge(x.Min(y), x.Equal(y))
	return none.Merge(m, x.IsNaN().Or(y.IsNaN()))
}

// larger is max, with 0 before −0.
func larger(x, y, none four) four {
	m := both(x, y).Merge(x.Max(y), x.Equal(y))
	return none.Merge(m, x.IsNaN().Or(y.IsNaN()))
}

// flipped is x with other bits, where those of y are set.
func flipped(x, y four) four { return x.AsUint64x4().Xor(y.AsUint64x4()).AsFloat64x4() }

func vectorMinimum(out, x, y []float64) {
	none := every(math.NaN())
	n := len(out) / 4
	out4, x4, y4 := fours(out, n), fours(x, n), fours(y, n)
	for i := range out4 {
		smaller(take(&x4[i]), take(&y4[i]), none).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainMinimum(out[4*n:], x[4*n:], y[4*n:])
}

func vectorMaximum(out, x, y []float64) {
	none := every(math.NaN())
	n := len(out) / 4
	out4, x4, y4 := fours(out, n), fours(x, n), fours(y, n)
	for i := range out4 {
		larger(take(&x4[i]), take(&y4[i]), none).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainMaximum(out[4*n:], x[4*n:], y[4*n:])
}

func vectorMinimumOf(out, x []float64, limit float64) {
	l, none := every(limit), every(math.NaN())
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		smaller(take(&x4[i]), l, none).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainMinimumOf(out[4*n:], x[4*n:], limit)
}

func vectorMaximumOf(out, x []float64, limit float64) {
	l, none := every(limit), every(math.NaN())
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		larger(take(&x4[i]), l, none).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainMaximumOf(out[4*n:], x[4*n:], limit)
}

func vectorFloors(out, x []float64, k, base, step float64) {
	k4, b, by, size, slack4, half := every(k), every(base), every(step), every(sizeBits), every(slack), every(snapHalf)
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		q := b.Add(take(&x4[i]).Mul(k4))
		q.Add(both(q, size).Mul(slack4).Add(half)).Floor().Mul(by).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainFloors(out[4*n:], x[4*n:], k, base, step)
}

func vectorCeilings(out, x []float64, k, base, step float64) {
	k4, b, by, size, slack4, half := every(k), every(base), every(step), every(sizeBits), every(slack), every(snapHalf)
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		q := b.Add(take(&x4[i]).Mul(k4))
		q.Sub(both(q, size).Mul(slack4).Add(half)).Ceil().Mul(by).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainCeilings(out[4*n:], x[4*n:], k, base, step)
}

func vectorRounds(out, x []float64, k, base, step float64) {
	k4, b, by, sizes, slack4, half := every(k), every(base), every(step), every(sizeBits), every(slack), every(snapHalf)
	sign, middle := every(signBit), every(0.5)
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		q := b.Add(take(&x4[i]).Mul(k4))
		size := both(q, sizes)
		whole := size.Add(middle).Add(size.Mul(slack4).Add(half)).Floor()
		join(both(whole, sizes), both(q, sign)).Mul(by).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainRounds(out[4*n:], x[4*n:], k, base, step)
}

func vectorWithin(out, x, yes, no []float64, from, below float64) {
	f, b, none := every(from), every(below), every(math.Float64frombits(noValue))
	n := len(out) / 4
	out4, x4, yes4, no4 := fours(out, n), fours(x, n), fours(yes, n), fours(no, n)
	for i := range out4 {
		a := take(&x4[i])
		v := take(&yes4[i]).Merge(take(&no4[i]), a.GreaterEqual(f).And(a.Less(b)))
		none.Merge(v, a.IsNaN()).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainWithin(out[4*n:], x[4*n:], yes[4*n:], no[4*n:], from, below)
}

// ninths are numbers in units of the ninth place.
func ninths(x, unit, sign, half four) four {
	x = x.Mul(unit)
	return x.Add(join(half, both(x, sign))).Trunc()
}

func vectorOrdered(out, x, y, yes, no []float64, t test) {
	unit, sign, sizes, half, slack4 := every(snapUnit), every(signBit), every(sizeBits), every(0.5), every(slack)
	none := every(math.Float64frombits(noValue))
	less, equal, more := every(math.Float64frombits(t.less)), every(math.Float64frombits(t.equal)), every(math.Float64frombits(t.more))
	n := len(out) / 4
	out4, x4, y4, yes4, no4 := fours(out, n), fours(x, n), fours(y, n), fours(yes, n), fours(no, n)
	for i := range out4 {
		a := ninths(take(&x4[i]), unit, sign, half)
		d := a.Sub(ninths(take(&y4[i]), unit, sign, half))
		room := both(a, sizes).Mul(slack4)
		mask := more.Merge(equal, d.Greater(room))
		mask = less.Merge(mask, d.Less(flipped(room, sign)))
		n := take(&no4[i])
		v := flipped(n, both(flipped(n, take(&yes4[i])), mask))
		none.Merge(v, d.IsNaN()).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainOrdered(out[4*n:], x[4*n:], y[4*n:], yes[4*n:], no[4*n:], t)
}

func vectorLookUp(out, x, edges, table []float64) {
	table = table[:len(edges)+1]
	n := len(out) / 4
	out4, x4 := fours(out, n), fours(x, n)
	for i := range out4 {
		a, v := take(&x4[i]), every(table[0])
		for i, e := range edges {
			v = every(table[i+1]).Merge(v, a.GreaterEqual(every(e)))
		}
		a.Merge(v, a.IsNaN()).Store(&out4[i])
	}
	archsimd.ClearAVXUpperBits()
	plainLookUp(out[4*n:], x[4*n:], edges, table)
}

func vectorLeast(out []float64, args [][]float64) {
	unit, sign, sizes, half, slack4 := every(snapUnit), every(signBit), every(sizeBits), every(0.5), every(slack)
	none, one := every(math.NaN()), every(1)
	for i := 0; i+4 <= len(out); i += 4 {
		x := load(args[0][i:])
		best, index, number, sum := ninths(x, unit, sign, half), one, one, x
		for _, arg := range args[1:] {
			x := load(arg[i:])
			sum = sum.Add(x)
			v := ninths(x, unit, sign, half)
			below := v.Less(best.Sub(both(best, sizes).Mul(slack4)))
			number = number.Add(one)
			best, index = v.Merge(best, below), number.Merge(index, below)
		}
		none.Merge(index, sum.IsNaN()).StoreSlice(out[i:])
	}
	archsimd.ClearAVXUpperBits()
	for i := len(out) &^ 3; i < len(out); i++ {
		plainLeastAt(out, args, i)
	}
}

func vectorPick(out, index []float64, args [][]float64) {
	half, near, sizes, none, one := every(0.5), every(snapHalf), every(sizeBits), every(math.NaN()), every(1)
	for i := 0; i+4 <= len(out); i += 4 {
		x, v := load(index[i:]), none
		whole := x.Add(half).Floor()
		is := both(x.Sub(whole), sizes).Less(near)
		number := one
		for _, arg := range args {
			v = load(arg[i:]).Merge(v, whole.Equal(number).And(is))
			number = number.Add(one)
		}
		v.StoreSlice(out[i:])
	}
	archsimd.ClearAVXUpperBits()
	for i := len(out) &^ 3; i < len(out); i++ {
		plainPickAt(out, index, args, i)
	}
}
