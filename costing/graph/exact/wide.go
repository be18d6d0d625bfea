package exact

import "math/bits"

// wide is an unsigned integer of 256 bits, lowest word first: 77 digits, or nearly
// 78. The product of two coefficients of 38 digits always fits.
type wide [4]uint64

var (
	pow10  = smallPowers()
	pow10w = widePowers()
)

// smallPowers are 10^0 to 10^19.
func smallPowers() (p [20]uint64) {
	p[0] = 1
	for i := 1; i < len(p); i++ {
		p[i] = p[i-1] * 10
	}
	return p
}

// widePowers are 10^0 to 10^77.
func widePowers() (p [78]wide) {
	p[0] = wide{1}
	for i := 1; i < len(p); i++ {
		p[i], _ = p[i-1].mulSmall(10)
	}
	return p
}

func (w wide) isZero() bool { return w[0]|w[1]|w[2]|w[3] == 0 }

func (w wide) bitLen() int {
	for i := 3; i > 0; i-- {
		if w[i] != 0 {
			return i*64 + bits.Len64(w[i])
		}
	}
	return bits.Len64(w[0])
}

// fits reports whether w is below 2^252, so that a sum of two still fits: every
// number of 75 digits is.
func (w wide) fits() bool { return w[3]>>60 == 0 }

// digits is the number of decimal digits; of zero it is 0.
func (w wide) digits() int {
	if w[1]|w[2]|w[3] == 0 {
		n := bits.Len64(w[0]) * 1233 >> 12
		if w[0] >= pow10[n] {
			n++
		}
		return n
	}
	// bitLen·1233/4096 is the number of digits of 2^(bitLen−1), or one less.
	n := w.bitLen() * 1233 >> 12
	if w.cmp(pow10w[n]) >= 0 {
		n++
	}
	return n
}

func (w wide) cmp(v wide) int {
	for i := 3; i >= 0; i-- {
		switch {
		case w[i] < v[i]:
			return -1
		case w[i] > v[i]:
			return 1
		}
	}
	return 0
}

// plus adds; the caller knows that the sum fits.
func (w wide) plus(v wide) (sum wide) {
	var c uint64
	for i := range w {
		sum[i], c = bits.Add64(w[i], v[i], c)
	}
	return sum
}

// minus subtracts v ≤ w.
func (w wide) minus(v wide) (diff wide) {
	var c uint64
	for i := range w {
		diff[i], c = bits.Sub64(w[i], v[i], c)
	}
	return diff
}

// mulSmall multiplies by a word; carry is what does not fit.
func (w wide) mulSmall(m uint64) (p wide, carry uint64) {
	for i := range w {
		hi, lo := bits.Mul64(w[i], m)
		var c uint64
		p[i], c = bits.Add64(lo, carry, 0)
		carry = hi + c
	}
	return p, carry
}

// product multiplies the coefficients of a and b.
func product(a, b num) wide {
	if a.hi|b.hi == 0 {
		hi, lo := bits.Mul64(a.lo, b.lo)
		return wide{lo, hi}
	}
	low, c := wide{a.lo, a.hi}.mulSmall(b.lo)
	_ = c // two words by one leave at least one word free
	high, _ := wide{a.lo, a.hi}.mulSmall(b.hi)
	return low.plus(wide{0, high[0], high[1], high[2]})
}

// scaleUp multiplies by 10^k; ok is false if the result does not fit.
func (w wide) scaleUp(k int) (scaled wide, ok bool) {
	if k > len(pow10w) {
		return wide{}, w.isZero()
	}
	for k > 0 {
		chunk := min(k, 19)
		var carry uint64
		if w, carry = w.mulSmall(pow10[chunk]); carry != 0 {
			return wide{}, false
		}
		k -= chunk
	}
	return w, w.fits()
}

// divSmall divides by a word.
func (w wide) divSmall(d uint64) (q wide, r uint64) {
	top := 3
	for top > 0 && w[top] == 0 {
		top--
	}
	// What is left of a word is below d, without which bits.Div64 would panic.
	for i := top; i >= 0; i-- {
		q[i], r = bits.Div64(r, w[i], d)
	}
	return q, r
}

// div divides by a number of at most two words, not zero.
func (w wide) div(d wide) (q, r wide) {
	if d[1] == 0 {
		q, rem := w.divSmall(d[0])
		return q, wide{rem}
	}
	// Long division with a divisor whose top bit is set, as in Knuth, volume 2,
	// section 4.3.1, algorithm D. A shift of 0 is no special case: in Go x >> 64 is
	// 0.
	shift := uint(bits.LeadingZeros64(d[1]))
	d1, d0 := d[1]<<shift|d[0]>>(64-shift), d[0]<<shift
	r2, r1 := w[3]>>(64-shift), w[3]<<shift|w[2]>>(64-shift)
	next := [3]uint64{w[0] << shift, w[1]<<shift | w[0]>>(64-shift), w[2]<<shift | w[1]>>(64-shift)}
	// Three words of quotient are all: the divisor is at least 2^64.
	for i := 2; i >= 0; i-- {
		q[i], r2, r1 = divStep(r2, r1, next[i], d1, d0)
	}
	return q, wide{r1>>shift | r2<<(64-shift), r2 >> shift}
}

// divStep divides three words by two. The top two words are below the divisor,
// whose top bit is set.
func divStep(u2, u1, u0, d1, d0 uint64) (q, r1, r0 uint64) {
	// Where the top words are equal the true quotient may not fit a word; the largest
	// word is then near enough.
	q = ^uint64(0)
	if u2 < d1 {
		q, _ = bits.Div64(u2, u1, d1)
	}
	// Knuth's theorem B, and the reason for the shift: with the top bit of d1 set q
	// is at most two too large.
	h, p0 := bits.Mul64(q, d0)
	p2, p1 := bits.Mul64(q, d1)
	p1, c := bits.Add64(p1, h, 0)
	p2 += c
	r0, c = bits.Sub64(u0, p0, 0)
	r1, c = bits.Sub64(u1, p1, c)
	_, c = bits.Sub64(u2, p2, c)
	for c != 0 {
		q--
		var carry uint64
		r0, carry = bits.Add64(r0, d0, 0)
		r1, carry = bits.Add64(r1, d1, carry)
		c -= carry
	}
	return q, r1, r0
}
