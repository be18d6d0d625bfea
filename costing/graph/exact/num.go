package exact

import (
	"encoding/binary"
	"math/big"

	"github.com/shopspring/decimal"
)

// maxDigits is the number of significant digits a result keeps. 34 are those of the
// decimal128 format of IEEE 754: a coefficient fits two words and the product of
// two fits four, so that the everyday case needs no memory.
const maxDigits = 34

// num is ±(hi·2^64 + lo)·10^exp. A rounded num has at most 34 digits and so at most
// 113 bits. Zero is never negative. One value has several forms (5·10^0, 50·10^-1):
// compare with cmp, never with ==.
type num struct {
	hi, lo uint64
	exp    int32
	neg    bool
}

func (a num) isZero() bool { return a.hi|a.lo == 0 }

func (a num) wide() wide { return wide{a.lo, a.hi} }

func (a num) digits() int { return wide{a.lo, a.hi}.digits() }

// sign is −1, 0 or 1.
func (a num) sign() int {
	switch {
	case a.isZero():
		return 0
	case a.neg:
		return -1
	}
	return 1
}

func (a num) negated() num {
	a.neg = !a.neg && !a.isZero()
	return a
}

func fromInt(n uint64) num { return num{lo: n} }

// newNum makes a num of a coefficient that has at most 34 digits. The exponent of
// a zero carries no information and is kept small.
func newNum(w wide, exp int, neg bool) num {
	if w[0]|w[1] == 0 {
		return num{}
	}
	return num{hi: w[1], lo: w[0], exp: int32(exp), neg: neg}
}

// Results of functions that are far outside the range; the evaluation turns them
// into a range error.
var (
	hugeNum = num{lo: 1, exp: 1000}
	tinyNum = num{lo: 1, exp: -1000}
)

// inRange reports whether a is zero or 10^-60 ≤ |a| ≤ 10^60.
func (a num) inRange() bool {
	// No digit need be counted here: a coefficient lies from 1 to below 10^34.
	if a.exp >= -60 && a.exp <= 60-maxDigits || a.isZero() {
		return true
	}
	top := a.digits() + int(a.exp) // 10^(top−1) ≤ |a| < 10^top
	if top == 61 {
		return a.wide() == pow10w[a.digits()-1]
	}
	return top >= -59 && top <= 60
}

// fromDecimal takes a decimal over; ok is false if it has more than 34 digits.
func fromDecimal(d decimal.Decimal) (a num, ok bool) {
	digits := d.NumDigits()
	// 18 digits fit an int64, so that nothing is allocated.
	if digits <= 18 {
		c := d.CoefficientInt64()
		if c < 0 {
			return newNum(wide{uint64(-c)}, int(d.Exponent()), true), true
		}
		return newNum(wide{uint64(c)}, int(d.Exponent()), false), true
	}
	if digits > maxDigits {
		return num{}, false
	}
	return fromBig(d.Coefficient(), int(d.Exponent())), true
}

// fromBig takes over an integer of at most 34 digits.
func fromBig(c *big.Int, exp int) num {
	var buf [16]byte
	neg := c.Sign() < 0
	new(big.Int).Abs(c).FillBytes(buf[:])
	return newNum(wide{binary.BigEndian.Uint64(buf[8:]), binary.BigEndian.Uint64(buf[:8])}, exp, neg)
}

// big gives the coefficient with its sign.
func (a num) big() *big.Int {
	var buf [16]byte
	binary.BigEndian.PutUint64(buf[:8], a.hi)
	binary.BigEndian.PutUint64(buf[8:], a.lo)
	c := new(big.Int).SetBytes(buf[:])
	if a.neg {
		c.Neg(c)
	}
	return c
}

func (a num) decimal() decimal.Decimal {
	if a.hi != 0 || a.lo > 1<<62 {
		return decimal.NewFromBigInt(a.big(), a.exp)
	}
	c := int64(a.lo)
	if a.neg {
		c = -c
	}
	return decimal.New(c, a.exp)
}

// cmp is the sign of a − b, exactly.
func (a num) cmp(b num) int {
	sa, sb := a.sign(), b.sign()
	if sa != sb || sa == 0 {
		return compare(sa, sb)
	}
	return sa * a.cmpSize(b)
}

// cmpSize compares |a| with |b|; neither is zero.
func (a num) cmpSize(b num) int {
	if a.exp == b.exp {
		return a.wide().cmp(b.wide())
	}
	topA, topB := a.digits()+int(a.exp), b.digits()+int(b.exp)
	if topA != topB {
		return compare(topA, topB)
	}
	// The same magnitude: the exponents differ by less than 34, so the aligned
	// coefficient has at most 34 digits too.
	if a.exp > b.exp {
		w, _ := a.wide().scaleUp(int(a.exp) - int(b.exp))
		return w.cmp(b.wide())
	}
	w, _ := b.wide().scaleUp(int(b.exp) - int(a.exp))
	return a.wide().cmp(w)
}

func compare(a, b int) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// stripped drops trailing zeros of the coefficient as long as the exponent stays at
// or below the limit: 0.5000 ÷ 1 is 0.5 and not 34 digits of it. Short coefficients
// keep the operations that follow in two words.
func (a num) stripped(limit int) num {
	w, exp := a.wide(), int(a.exp)
	// Five divisions or so, where one per zero could be thirty.
	for _, k := range [...]int{16, 8, 4, 2, 1} {
		for exp+k <= limit && !a.isZero() {
			q, r := w.divSmall(pow10[k])
			if r != 0 {
				break
			}
			w, exp = q, exp+k
		}
	}
	return newNum(w, exp, a.neg)
}
