package exact

import (
	"math/big"
)

// The functions compute in fixed point: a big integer v stands for v·2^−p. They
// work with few bits first and with many where few cannot decide the rounding.
const (
	// 34 digits are 113 bits. Past the error of 2^20 units, 160 leave 27 more, so that
	// the second run is needed about once in 10^8 values near 1.
	fewBits = 160
	// With 448 a wrong neighbour needs a value within 10^-120 of a middle; there is no
	// third run, since it could not be told when to stop.
	manyBits = 448
	// slackBits bounds the error of every function below: less than 2^slackBits
	// units of the last bit. It is generous: a logarithm is good for about 300
	// units, of which a power makes at most 100 times as many.
	slackBits = 20
)

// approx is a value m·2^exp with an error below 2^(slackBits+exp).
type approx struct {
	m   *big.Int
	exp int
}

// settle rounds what f computes. It asks again with more bits if the error of the
// first answer reaches across the middle between two results. A value that lies in
// the middle exactly no number of bits could decide: callers take those that are
// decimal numbers out before.
func settle(f func(p uint) approx) num {
	slack := new(big.Int).Lsh(big.NewInt(1), slackBits)
	v := f(fewBits)
	low := roundedBinary(new(big.Int).Sub(v.m, slack), v.exp)
	high := roundedBinary(new(big.Int).Add(v.m, slack), v.exp)
	// == will do: a number cut down to 34 digits has one form only.
	if low == high {
		return low
	}
	v = f(manyBits)
	return roundedBinary(v.m, v.exp)
}

// roundedBinary gives m·2^exp in 34 digits.
func roundedBinary(m *big.Int, exp int) num {
	if exp >= 0 {
		return roundedBig(new(big.Int).Lsh(m, uint(exp)), 0, false)
	}
	// A rest may only be told by a flag below the digit that decides a half (rounded
	// says why); a further digit allows for the magnitude, which is estimated. Scaled
	// by 10^shift, the whole part has 36 digits or a few more.
	magnitude := (m.BitLen() + exp) * 30103 / 100000
	shift := max(0, maxDigits+3-magnitude)
	scaled := new(big.Int).Mul(m, bigPow10(shift))
	more := scaled.TrailingZeroBits() < uint(-exp)
	// A shift goes towards −∞; what is cut here must be cut towards zero.
	scaled.Abs(scaled).Rsh(scaled, uint(-exp))
	if m.Sign() < 0 {
		scaled.Neg(scaled)
	}
	return roundedBig(scaled, -shift, more)
}

// fixed gives a in fixed point, cut off.
func (a num) fixed(p uint) *big.Int {
	v := a.big()
	v.Lsh(v, p)
	if a.exp >= 0 {
		return v.Mul(v, bigPow10(int(a.exp)))
	}
	return v.Quo(v, bigPow10(-int(a.exp)))
}

func fixedOne(p uint) *big.Int { return new(big.Int).Lsh(big.NewInt(1), p) }

// scratch holds a product before it is cut; a product written over one of its
// own factors would take new memory each time.
type scratch struct {
	product big.Int
	p       uint
}

// mul sets z to x·y.
func (s *scratch) mul(z, x, y *big.Int) *big.Int {
	s.product.Mul(x, y)
	return z.Rsh(&s.product, s.p)
}

// oddSeries sums z + s·z³/3 + z⁵/5 + s·z⁷/7 + …: the inverse hyperbolic tangent
// of z for s = 1, the arc tangent for s = −1. It wants |z| well below 1.
func oddSeries(z *big.Int, s int64, p uint) *big.Int {
	fixed := scratch{p: p}
	square := fixed.mul(new(big.Int), z, z)
	if s < 0 {
		square.Neg(square)
	}
	sum, power, term, n := new(big.Int).Set(z), new(big.Int).Set(z), new(big.Int), new(big.Int)
	for k := int64(3); ; k += 2 {
		// A negative number shifts towards −∞ and would stay at −1 for ever.
		if fixed.mul(power, power, square).BitLen() <= 1 {
			return sum
		}
		sum.Add(sum, term.Quo(power, n.SetInt64(k)))
	}
}

// The guard is for e·ln 2 and k·ln 2, whose factors have at most 11 bits.
const constantBits = manyBits + 64

// Constants in fixed point with constantBits.
var (
	// ln 2 = 18 artanh 1/26 − 2 artanh 1/4801 + 8 artanh 1/8749.
	fixedLogTwo = inverses(1, [][2]int64{{18, 26}, {-2, 4801}, {8, 8749}})
	// Machin's π = 16 arctan 1/5 − 4 arctan 1/239.
	fixedPi = inverses(-1, [][2]int64{{16, 5}, {-4, 239}})
)

// logTwo and piFixed give the constants with p bits.
func logTwo(p uint) *big.Int  { return new(big.Int).Rsh(fixedLogTwo, constantBits-p) }
func piFixed(p uint) *big.Int { return new(big.Int).Rsh(fixedPi, constantBits-p) }

// inverses sums factor·series(1/n) over the terms (factor, n).
func inverses(s int64, terms [][2]int64) *big.Int {
	// Each term is cut below the last bit, a few hundred times in all.
	const guard = 32
	sum := new(big.Int)
	for _, t := range terms {
		z := fixedOne(constantBits + guard)
		v := oddSeries(z.Quo(z, big.NewInt(t[1])), s, constantBits+guard)
		sum.Add(sum, v.Mul(v, big.NewInt(t[0])))
	}
	return sum.Rsh(sum, guard)
}
