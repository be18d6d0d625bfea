package fractiontest

import "math/big"

// Logarithms and powers by their series, so that the sums of a learning curve are
// added up with nothing in common with the evaluator.

// precision is in bits.
const precision = 240

func wide(x float64) *big.Float { return new(big.Float).SetPrec(precision).SetFloat64(x) }

// Float is a fraction with 240 bits.
func Float(r *big.Rat) *big.Float { return new(big.Float).SetPrec(precision).SetRat(r) }

// logarithm is ln x = e·ln 2 + 2·artanh((m − 1)/(m + 1)), x = m·2^e with m about 1.
func logarithm(x *big.Float) *big.Float {
	m := new(big.Float).SetPrec(precision)
	e := x.MantExp(m)
	if m.Cmp(wide(0.75)) < 0 {
		m.SetMantExp(m, 1)
		e--
	}
	out := artanhTwice(new(big.Float).SetPrec(precision).Quo(new(big.Float).Sub(m, wide(1)), new(big.Float).Add(m, wide(1))))
	return out.Add(out, new(big.Float).SetPrec(precision).Mul(wide(float64(e)), lnTwo))
}

var lnTwo = artanhTwice(new(big.Float).SetPrec(precision).Quo(wide(1), wide(3)))

func artanhTwice(z *big.Float) *big.Float {
	square := new(big.Float).SetPrec(precision).Mul(z, z)
	sum, term := wide(0), new(big.Float).SetPrec(precision).Set(z)
	for k := 1; k < 2*precision && term.Sign() != 0 && term.MantExp(nil) > -precision; k += 2 {
		sum.Add(sum, new(big.Float).SetPrec(precision).Quo(term, wide(float64(k))))
		term.Mul(term, square)
	}
	return sum.Mul(sum, wide(2))
}

// exponential is e^x, |x| < 100, by halving x ten times.
func exponential(x *big.Float) *big.Float {
	const halved = 10
	small := new(big.Float).SetPrec(precision).SetMantExp(x, -halved)
	sum, term := wide(1), wide(1)
	for k := 1; k < precision; k++ {
		term.Mul(term, small)
		term.Quo(term, wide(float64(k)))
		if term.Sign() == 0 || term.MantExp(nil) < -precision {
			break
		}
		sum.Add(sum, term)
	}
	for range halved {
		sum.Mul(sum, sum)
	}
	return sum
}

// arcCosine is 2·arctan √((1 − x)/(1 + x)), the tangent halved eight times.
func arcCosine(x *big.Float) *big.Float {
	f := func() *big.Float { return new(big.Float).SetPrec(precision) }
	if x.Cmp(wide(-1)) == 0 {
		return new(big.Float).SetPrec(precision).Mul(wide(2), arcCosine(wide(0)))
	}
	t := f().Sqrt(f().Quo(f().Sub(wide(1), x), f().Add(wide(1), x)))
	const halved = 8
	for range halved {
		t = f().Quo(t, f().Add(wide(1), f().Sqrt(f().Add(wide(1), f().Mul(t, t)))))
	}
	square, sum, term := f().Neg(f().Mul(t, t)), wide(0), t
	for k := 1; term.Sign() != 0 && term.MantExp(nil) > -precision; k += 2 {
		sum.Add(sum, f().Quo(term, wide(float64(k))))
		term = f().Mul(term, square)
	}
	return sum.SetMantExp(sum, halved+1)
}

// Slope is ln(rate) ÷ ln 2.
func Slope(rate *big.Rat) *big.Float {
	return new(big.Float).SetPrec(precision).Quo(logarithm(Float(rate)), lnTwo)
}

// Raised is k to the power y.
func Raised(k int64, y *big.Float) *big.Float {
	return exponential(new(big.Float).SetPrec(precision).Mul(y, logarithm(wide(float64(k)))))
}
