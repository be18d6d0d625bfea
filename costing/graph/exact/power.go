package exact

import "math/big"

// maxExponent bounds the exponent of a power. It multiplies the error of the
// logarithm (slackBits allows for a hundredfold) and the length of exact powers.
// The largest of the trade, 1/n of Taylor's tool life for high-speed steel, is
// about 12.
const maxExponent = 100

// maxRoot is a root that no number but 1 has exactly: a prime factor of a base of
// 34 digits within the range of values occurs fewer times.
const maxRoot = 512

// power gives x to the power y, for x > 0 and |y| ≤ 100: exactly rounded where
// the power is a decimal number or y is whole.
func power(x, y num) num {
	if y.isZero() || isOne(x) {
		return fromInt(1)
	}
	y = y.stripped(0)
	if n, ok := y.whole(); ok {
		return wholePower(x, n)
	}
	if x, n, ok := exactRoot(x, y); ok {
		return wholePower(x, n)
	}
	return settle(func(p uint) approx { return fixedPower(x, y, p) })
}

// whole gives a small whole number.
func (a num) whole() (n int, ok bool) {
	if a.exp < 0 || a.exp > 2 || a.hi != 0 || a.lo > maxExponent {
		return 0, a.isZero()
	}
	n = int(a.lo * pow10[a.exp])
	if a.neg {
		n = -n
	}
	return n, true
}

// fixedPower gives e^(y·ln x).
func fixedPower(x, y num, p uint) approx {
	log := fixedLog(x, p)
	log.Mul(log, y.big())
	if y.exp >= 0 {
		log.Mul(log, bigPow10(int(y.exp)))
	} else {
		log.Quo(log, bigPow10(-int(y.exp)))
	}
	return fixedExp(log, p)
}

// wholePower gives x^n for x > 0 from the exact power, rounded once.
func wholePower(x num, n int) num {
	x = x.stripped(1 << 20)
	size := n
	if n < 0 {
		size = -n
	}
	c := x.big()
	// 10^(top−1) ≤ x < 10^top: leave before the exact power of a huge result.
	if top := x.digits() + int(x.exp); (top-1)*size > 61 || top*size < -61 {
		return outside((top > 0) == (n > 0))
	}
	c.Exp(c, big.NewInt(int64(size)), nil)
	exp := int(x.exp) * size
	if n > 0 {
		return roundedBig(c, exp, false)
	}
	return inverse(c, -exp)
}

// inverse gives 10^exp/c, rounded once.
func inverse(c *big.Int, exp int) num {
	shift := maxDigits + 1 + bigDigits(c)
	q, r := new(big.Int).QuoRem(bigPow10(shift), c, new(big.Int))
	return roundedBig(q, exp-shift, r.Sign() != 0).stripped(max(exp, 0))
}

// exactRoot writes x^y as root^n where that can be done: y = n/q in lowest terms
// and x = root^q. Such a power may be a decimal number; every other is irrational.
func exactRoot(x, y num) (root num, n int, ok bool) {
	over, q := y.big(), bigPow10(-int(y.exp))
	shared := new(big.Int).GCD(nil, nil, new(big.Int).Abs(over), q)
	over.Quo(over, shared)
	q = new(big.Int).Quo(q, shared)
	if q.BitLen() > 10 || q.Int64() > maxRoot {
		return num{}, 0, false
	}
	degree := int(q.Int64())
	// Neither x nor its root ends in zero, so that the exponent of x is that many times that
	// of the root.
	x = x.stripped(1 << 20)
	if int(x.exp)%degree != 0 {
		return num{}, 0, false
	}
	c := x.big()
	whole := wholeRootOf(c, degree)
	if new(big.Int).Exp(whole, q, nil).Cmp(c) != 0 {
		return num{}, 0, false
	}
	return fromBig(whole, int(x.exp)/degree), int(over.Int64()), true
}

// wholeRootOf gives the whole part of a root of n > 0 by Newton's method from above.
func wholeRootOf(n *big.Int, degree int) *big.Int {
	root := new(big.Int).Lsh(big.NewInt(1), uint(n.BitLen()/degree+1))
	less, d := big.NewInt(int64(degree-1)), big.NewInt(int64(degree))
	for {
		next := new(big.Int).Exp(root, less, nil)
		next.Quo(n, next)
		next.Add(next, new(big.Int).Mul(root, less))
		if next.Quo(next, d); next.Cmp(root) >= 0 {
			return root
		}
		root = next
	}
}
