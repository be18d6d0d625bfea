package exact

import "math/big"

// rounded gives ±w·10^exp in at most 34 digits, half to even. sticky says that
// the true size is a little larger than w, by less than one unit of it; then w
// must have at least 35 digits.
func rounded(w wide, exp int, neg, sticky bool) num {
	if w[2]|w[3] == 0 && w[1] < pow10w[maxDigits][1] {
		return newNum(w, exp, neg) // the everyday case
	}
	drop := w.digits() - maxDigits
	if drop <= 0 {
		return newNum(w, exp, neg)
	}
	exp += drop
	var r, unit uint64
	for drop > 0 {
		// What an earlier turn cut off lies below what the last one cuts off.
		sticky = sticky || r != 0
		chunk := min(drop, 19)
		unit = pow10[chunk]
		w, r = w.divSmall(unit)
		drop -= chunk
	}
	half := unit / 2
	if r > half || r == half && (sticky || w[0]&1 == 1) {
		w = w.plus(wide{1})
		if w == pow10w[maxDigits] {
			w, exp = pow10w[maxDigits-1], exp+1
		}
	}
	return newNum(w, exp, neg)
}

// roundedBig is rounded for big integers; c carries the sign.
func roundedBig(c *big.Int, exp int, sticky bool) num {
	drop := bigDigits(c) - maxDigits
	if drop <= 0 {
		return fromBig(c, exp)
	}
	unit := bigPow10(drop)
	q, r := new(big.Int).QuoRem(c, unit, new(big.Int))
	order := r.Lsh(r, 1).CmpAbs(unit)
	if order > 0 || order == 0 && (sticky || q.Bit(0) == 1) {
		q.Add(q, big.NewInt(int64(c.Sign())))
	}
	if q.CmpAbs(bigPow10(maxDigits)) == 0 {
		q.Quo(q, bigTen)
		drop++
	}
	return fromBig(q, exp+drop)
}

// snapped rounds to nine decimal places, halves away from zero.
func (a num) snapped() num {
	drop := -snapPlaces - int(a.exp)
	if drop <= 0 {
		return a
	}
	if drop > maxDigits {
		return num{}
	}
	w := a.wide()
	var r, unit uint64
	for drop > 0 {
		chunk := min(drop, 19)
		unit = pow10[chunk]
		w, r = w.divSmall(unit)
		drop -= chunk
	}
	if r >= unit/2 {
		w = w.plus(wide{1})
	}
	return newNum(w, -snapPlaces, a.neg)
}

var bigTen = big.NewInt(10)

// bigPowers are 10^0 to 10^255.
var bigPowers = func() (p [256]*big.Int) {
	p[0] = big.NewInt(1)
	for i := 1; i < len(p); i++ {
		p[i] = new(big.Int).Mul(p[i-1], bigTen)
	}
	return p
}()

// bigPow10 gives 10^n; the result is shared and must not be changed.
func bigPow10(n int) *big.Int {
	if n < len(bigPowers) {
		return bigPowers[n]
	}
	return new(big.Int).Exp(bigTen, big.NewInt(int64(n)), nil)
}

// bigDigits is the number of decimal digits; of zero it is 0.
func bigDigits(c *big.Int) int {
	// The ratio is a lower bound of log 2 that is good for 100,000 bits.
	n := int(int64(c.BitLen()) * 301029 / 1000000)
	for c.CmpAbs(bigPow10(n)) >= 0 {
		n++
	}
	return n
}
