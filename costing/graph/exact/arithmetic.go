package exact

import "math/big"

// add gives the sum of the terms, rounded once. A rounding after each term would
// make the sum depend on their order, and no figure may depend on the place of a
// record in its list.
func add(terms ...num) num {
	var t total
	for _, a := range terms {
		if !t.add(a.wide(), int(a.exp), a.neg) {
			return addBig(terms)
		}
	}
	return t.rounded()
}

// total is an exact sum in the making.
type total struct {
	w   wide
	exp int
	neg bool
}

// add adds ±w·10^exp; false means that the exact sum needs more than 256 bits.
func (t *total) add(w wide, exp int, neg bool) bool {
	if w.isZero() {
		return true
	}
	if t.w.isZero() {
		t.w, t.exp, t.neg = w, exp, neg
		return w.fits()
	}
	ok := true
	switch {
	case t.exp > exp:
		t.w, ok = t.w.scaleUp(t.exp - exp)
		t.exp = exp
	case t.exp < exp:
		w, ok = w.scaleUp(exp - t.exp)
	}
	switch {
	case !ok:
		return false
	case t.neg == neg:
		t.w = t.w.plus(w)
	case t.w.cmp(w) >= 0:
		t.w = t.w.minus(w)
	default:
		t.w, t.neg = w.minus(t.w), neg
	}
	return t.w.fits()
}

func (t *total) rounded() num { return rounded(t.w, t.exp, t.neg, false) }

func addBig(terms []num) num {
	var t bigTotal
	for _, a := range terms {
		t.add(a.big(), int(a.exp))
	}
	return roundedBig(&t.c, t.exp, false)
}

// bigTotal is an exact sum without bounds; its zero value is zero.
type bigTotal struct {
	c   big.Int
	exp int
}

// add adds c·10^exp; c may be changed.
func (t *bigTotal) add(c *big.Int, exp int) {
	switch {
	case t.c.Sign() == 0:
		t.exp = exp
	case exp < t.exp:
		t.c.Mul(&t.c, bigPow10(t.exp-exp))
		t.exp = exp
	case exp > t.exp:
		c.Mul(c, bigPow10(exp-t.exp))
	}
	t.c.Add(&t.c, c)
}

// multiply gives a × b, rounded once.
func multiply(a, b num) num {
	return rounded(product(a, b), int(a.exp)+int(b.exp), a.neg != b.neg, false)
}

// multiplyAll gives the product of any number of factors, rounded once.
func multiplyAll(factors []num) num {
	if len(factors) == 2 {
		return multiply(factors[0], factors[1])
	}
	out := fromInt(1)
	for i, f := range factors {
		w := product(out, f)
		// Not the last factor, and already too long to be kept as it is.
		if w.digits() > maxDigits && i+1 < len(factors) {
			return multiplyBig(factors)
		}
		out = rounded(w, int(out.exp)+int(f.exp), out.neg != f.neg, false)
	}
	return out
}

func multiplyBig(factors []num) num {
	c, exp := big.NewInt(1), 0
	for _, f := range factors {
		c.Mul(c, f.big())
		exp += int(f.exp)
	}
	return roundedBig(c, exp, false)
}

// sumProducts gives a₁×b₁ + a₂×b₂ + …, rounded once.
func sumProducts(pairs []num) num {
	var t total
	for i := 0; i < len(pairs); i += 2 {
		a, b := pairs[i], pairs[i+1]
		if !t.add(product(a, b), int(a.exp)+int(b.exp), a.neg != b.neg) {
			return sumProductsBig(pairs)
		}
	}
	return t.rounded()
}

func sumProductsBig(pairs []num) num {
	var t bigTotal
	for i := 0; i < len(pairs); i += 2 {
		c := pairs[i].big()
		t.add(c.Mul(c, pairs[i+1].big()), int(pairs[i].exp)+int(pairs[i+1].exp))
	}
	return roundedBig(&t.c, t.exp, false)
}

// divide gives a ÷ b for b ≠ 0, rounded once: the quotient is cut off after 35 or
// 36 digits, and whether anything follows decides a half.
func divide(a, b num) num {
	if a.isZero() {
		return num{}
	}
	neg, ideal := a.neg != b.neg, int(a.exp)-int(b.exp)
	// Whole quotients of one word: pieces ÷ pieces per load and their like.
	if a.hi|b.hi == 0 && a.lo%b.lo == 0 {
		return newNum(wide{a.lo / b.lo}, ideal, neg)
	}
	scale := maxDigits + 1 + b.digits() - a.digits()
	w, _ := a.wide().scaleUp(scale) // at most 35 + 34 digits
	q, r := w.div(b.wide())
	if !r.isZero() {
		return rounded(q, ideal-scale, neg, true)
	}
	return rounded(q, ideal-scale, neg, false).stripped(ideal)
}
