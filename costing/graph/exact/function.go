package exact

import "math/big"

// squareRoot gives √a for a ≥ 0, correctly rounded: the whole root of at least 70
// digits has 35, and whether it leaves a rest decides a half.
func squareRoot(a num) num {
	if a.isZero() {
		return num{}
	}
	shift := 2*maxDigits + 2 - a.digits()
	// The exponent will be halved.
	if (int(a.exp)-shift)%2 != 0 {
		shift++
	}
	c := a.big()
	c.Mul(c, bigPow10(shift))
	root := new(big.Int).Sqrt(c)
	whole := c.Sub(c, new(big.Int).Mul(root, root)).Sign() == 0
	out := roundedBig(root, (int(a.exp)-shift)/2, !whole)
	if whole {
		return out.stripped(int(a.exp) >> 1)
	}
	return out
}

// naturalLog gives ln a for a > 0.
func naturalLog(a num) num {
	if isOne(a) {
		return num{}
	}
	return settle(func(p uint) approx { return approx{fixedLog(a, p), -int(p)} })
}

func isOne(a num) bool { return a.cmp(fromInt(1)) == 0 }

// fixedLog gives ln a: with a = f·2^e and 3/4 ≤ f < 3/2 it is
// 2 artanh((f−1)/(f+1)) + e·ln 2. Where a is near 1, e is 0 and nothing cancels. The
// artanh is of at most 1/5, so that each term of its series gives four bits.
func fixedLog(a num, p uint) *big.Int {
	f, e := a.mantissa(p)
	one := fixedOne(p)
	over := new(big.Int).Sub(f, one)
	z := over.Quo(over.Lsh(over, p), f.Add(f, one))
	log := oddSeries(z, 1, p)
	log.Lsh(log, 1)
	return log.Add(log, new(big.Int).Mul(logTwo(p), big.NewInt(int64(e))))
}

// mantissa gives a > 0 as f·2^e with 3/4 ≤ f < 3/2 in fixed point.
func (a num) mantissa(p uint) (f *big.Int, e int) {
	over, under := a.big(), big.NewInt(1)
	if a.exp >= 0 {
		over.Mul(over, bigPow10(int(a.exp)))
	} else {
		under.Set(bigPow10(-int(a.exp)))
	}
	e = over.BitLen() - under.BitLen() // 1/2 < f < 2
	if e > 0 {
		under.Lsh(under, uint(e))
	} else {
		over.Lsh(over, uint(-e))
	}
	f = over.Quo(over.Lsh(over, p+1), under) // one more bit, for the halving
	switch {
	case f.Cmp(new(big.Int).Lsh(big.NewInt(3), p-1)) < 0: // below 3/4
		return f, e - 1
	case f.Cmp(new(big.Int).Lsh(big.NewInt(3), p)) >= 0: // from 3/2
		return f.Rsh(f, 2), e + 1
	}
	return f.Rsh(f, 1), e
}

func outside(huge bool) num {
	if huge {
		return hugeNum
	}
	return tinyNum
}

// fixedExp gives e^x: with x = k·ln 2 + r and |r| ≤ (ln 2)/2 it is 2^k·e^r, and
// e^r is a Taylor sum of r/64, squared six times.
func fixedExp(x *big.Int, p uint) approx {
	// r/64 is below 0.006: seven bits a term. The six squarings cost six bits, which the
	// slack allows for.
	const squarings = 6
	two := logTwo(p)
	k := new(big.Int).Lsh(x, 1)
	k.Add(k, two)
	k.Div(k, new(big.Int).Lsh(two, 1)) // x/ln 2 to the nearest whole
	r := new(big.Int).Sub(x, new(big.Int).Mul(k, two))
	r.Rsh(r, squarings)
	fixed := scratch{p: p}
	sum, term, n := fixedOne(p), fixedOne(p), new(big.Int)
	for i := int64(1); ; i++ {
		fixed.mul(term, term, r)
		term.Quo(term, n.SetInt64(i))
		if term.Sign() == 0 {
			break
		}
		sum.Add(sum, term)
	}
	for range squarings {
		fixed.mul(sum, sum, sum)
	}
	return approx{sum, int(k.Int64()) - int(p)}
}

// arcCosine gives arccos a in radians for −1 ≤ a ≤ 1.
func arcCosine(a num) num {
	if isOne(a) {
		return num{}
	}
	return settle(func(p uint) approx {
		v := fixedArcCosine(a, p)
		if a.neg {
			v.Sub(piFixed(p), v)
		}
		return approx{v, -int(p)}
	})
}

// fixedArcCosine gives arccos |a| = 2 arctan √((1−|a|)/(1+|a|)). The quotient is
// taken of whole numbers, so that nothing cancels near 1.
func fixedArcCosine(a num, p uint) *big.Int {
	// Halved three times the angle has a tangent below 0.1: six bits a term.
	const halvings = 3
	unit, c := bigPow10(max(0, -int(a.exp))), a.big()
	c.Abs(c).Mul(c, bigPow10(max(0, int(a.exp))))
	over, under := new(big.Int).Sub(unit, c), new(big.Int).Add(unit, c)
	t := over.Sqrt(over.Quo(over.Lsh(over, 2*p), under))
	fixed, one := scratch{p: p}, fixedOne(p)
	for range halvings {
		// arctan t = 2 arctan(t/(1 + √(1+t²)))
		root := fixed.mul(new(big.Int), t, t)
		root.Add(root, one)
		root.Sqrt(root.Lsh(root, p))
		t.Quo(t.Lsh(t, p), root.Add(root, one))
	}
	v := oddSeries(t, -1, p)
	return v.Lsh(v, halvings+1)
}
