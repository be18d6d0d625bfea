package exact

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"kerfbook/testdata/depth"
)

// draw gives a num of 1 to 34 digits; small numbers, round numbers and numbers
// near a power of ten are frequent.
func draw(rnd *rand.Rand) num {
	digits := rnd.IntN(maxDigits) + 1
	c := new(big.Int)
	switch rnd.IntN(4) {
	case 0:
		c.SetInt64(rnd.Int64N(1000))
	case 1:
		c.Add(bigPow10(digits-1), big.NewInt(rnd.Int64N(3)))
	case 2:
		c.Sub(bigPow10(digits), big.NewInt(rnd.Int64N(3)+1))
	default:
		c.SetUint64(rnd.Uint64())
		c.Lsh(c, 64).Add(c, new(big.Int).SetUint64(rnd.Uint64())).Mod(c, bigPow10(digits))
	}
	if rnd.IntN(2) == 0 {
		c.Neg(c)
	}
	return fromBig(c, rnd.IntN(71)-50)
}

func source(t *testing.T, seed uint64) *rand.Rand {
	t.Helper()
	return rand.New(rand.NewPCG(depth.Seed(t, seed), 34))
}

func (a num) rat() *big.Rat {
	r := new(big.Rat).SetInt(a.big())
	ten := new(big.Rat).SetInt(bigPow10(max(int(a.exp), -int(a.exp))))
	if a.exp < 0 {
		return r.Quo(r, ten)
	}
	return r.Mul(r, ten)
}

// nearest rounds a fraction half to even to 34 digits, by nothing but fractions.
func nearest(r *big.Rat) *big.Rat {
	if r.Sign() == 0 {
		return r
	}
	size, ten := new(big.Rat).Abs(r), big.NewRat(10, 1)
	// The unit of the last digit kept, guessed from the lengths and put right below.
	guess := num{lo: 1, exp: int32(len(size.Num().String()) - len(size.Denom().String()) - maxDigits)}
	unit := guess.rat()
	low, high := new(big.Rat).SetInt(bigPow10(maxDigits-1)), new(big.Rat).SetInt(bigPow10(maxDigits))
	for size.Cmp(new(big.Rat).Mul(high, unit)) >= 0 {
		unit.Mul(unit, ten)
	}
	for size.Cmp(new(big.Rat).Mul(low, unit)) < 0 {
		unit.Quo(unit, ten)
	}
	size.Quo(size, unit)
	q, rest := new(big.Int).QuoRem(size.Num(), size.Denom(), new(big.Int))
	order := rest.Lsh(rest, 1).Cmp(size.Denom())
	if order > 0 || order == 0 && q.Bit(0) == 1 {
		q.Add(q, big.NewInt(1))
	}
	out := new(big.Rat).SetInt(q)
	out.Mul(out, unit)
	if r.Sign() < 0 {
		out.Neg(out)
	}
	return out
}

// expect compares a result with the nearest number of 34 digits.
func expect(t *testing.T, what string, got num, exact *big.Rat, args ...num) {
	t.Helper()
	want := nearest(exact)
	if got.rat().Cmp(want) != 0 || got.digits() > maxDigits {
		t.Fatalf("%s of %v is %v, want %s", what, decimals(args), got.decimal(), want.FloatString(70))
	}
}

func decimals(args []num) (out []string) {
	for _, a := range args {
		out = append(out, a.decimal().String())
	}
	return out
}

func TestAddIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 1)
	for range 1500 {
		args := make([]num, rnd.IntN(5)+1)
		sum := new(big.Rat)
		for i := range args {
			args[i] = draw(rnd)
			sum.Add(sum, args[i].rat())
		}
		expect(t, "sum", add(args...), sum, args...)
		expect(t, "big sum", addBig(args), sum, args...)
	}
}

func TestMultiplyIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 2)
	for range 1500 {
		args := make([]num, rnd.IntN(3)+1)
		p := big.NewRat(1, 1)
		for i := range args {
			args[i] = draw(rnd)
			p.Mul(p, args[i].rat())
		}
		expect(t, "product", multiplyAll(args), p, args...)
	}
}

func TestSumProductsIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 3)
	for range 1200 {
		args := make([]num, 2*(rnd.IntN(4)+1))
		sum := new(big.Rat)
		for i := range args {
			args[i] = draw(rnd)
			if i%2 == 1 {
				sum.Add(sum, new(big.Rat).Mul(args[i-1].rat(), args[i].rat()))
			}
		}
		expect(t, "sum of products", sumProducts(args), sum, args...)
	}
}

func TestDivideIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 4)
	for range 2500 {
		a, b := draw(rnd), draw(rnd)
		if b.isZero() {
			continue
		}
		expect(t, "quotient", divide(a, b), new(big.Rat).Quo(a.rat(), b.rat()), a, b)
		// An exact product goes back to its factor.
		if p := product(a, b); p.digits() <= maxDigits {
			if q := divide(multiply(a, b), b); q.cmp(a) != 0 {
				t.Fatalf("%v × %v ÷ %v is %v", a.decimal(), b.decimal(), b.decimal(), q.decimal())
			}
		}
	}
}

// TestDivideTies builds quotients that end exactly in the middle of two results.
func TestDivideTies(t *testing.T) {
	t.Parallel()
	rnd := source(t, 5)
	for range 1000 {
		c := new(big.Int).SetUint64(rnd.Uint64() | 1)
		c.Mul(c, new(big.Int).SetUint64(rnd.Uint64()>>17|1))
		a := roundedBig(c.Mul(c, big.NewInt(5)), -3, false)
		for _, b := range []num{{lo: 2}, {lo: 4}, {lo: 16}, {lo: 32}, {lo: 1 << 20}, {lo: 625}} {
			expect(t, "quotient", divide(a, b), new(big.Rat).Quo(a.rat(), b.rat()), a, b)
		}
	}
}

func TestCompareIsExact(t *testing.T) {
	t.Parallel()
	rnd := source(t, 6)
	for range 5000 {
		a, b := draw(rnd), draw(rnd)
		if rnd.IntN(3) == 0 { // the same number, written longer
			b = a
			if w, ok := a.wide().scaleUp(maxDigits - a.digits()); ok && !a.isZero() {
				b = newNum(w, int(a.exp)-maxDigits+a.digits(), a.neg)
			}
		}
		if got, want := a.cmp(b), a.rat().Cmp(b.rat()); got != want {
			t.Fatalf("%v against %v is %d, want %d", a.decimal(), b.decimal(), got, want)
		}
	}
}

func TestWideDivision(t *testing.T) {
	t.Parallel()
	rnd := source(t, 7)
	word := func() uint64 {
		switch rnd.IntN(4) {
		case 0:
			return 0
		case 1:
			return ^uint64(0) - rnd.Uint64N(2)
		case 2:
			return 1 << rnd.IntN(64)
		}
		return rnd.Uint64()
	}
	for range 20000 {
		w, d := wide{word(), word(), word(), word()}, wide{word(), word()}
		if d.isZero() {
			continue
		}
		q, r := w.div(d)
		wantQ, wantR := new(big.Int).QuoRem(w.int(), d.int(), new(big.Int))
		if q.int().Cmp(wantQ) != 0 || r.int().Cmp(wantR) != 0 {
			t.Fatalf("%v ÷ %v is %v rest %v, want %v rest %v", w, d, q, r, wantQ, wantR)
		}
	}
}

func (w wide) int() *big.Int {
	c := new(big.Int)
	for i := 3; i >= 0; i-- {
		c.Lsh(c, 64).Add(c, new(big.Int).SetUint64(w[i]))
	}
	return c
}

func TestDigits(t *testing.T) {
	t.Parallel()
	for n := range 77 {
		for _, c := range []struct {
			w    wide
			want int
		}{{pow10w[n], n + 1}, {pow10w[n].minus(wide{1}), n}} {
			if got := c.w.digits(); got != c.want {
				t.Errorf("%v has %d digits, want %d", c.w.int(), got, c.want)
			}
			if got := bigDigits(c.w.int()); got != c.want {
				t.Errorf("%v has %d digits, want %d", c.w.int(), got, c.want)
			}
		}
	}
}

func FuzzDivide(f *testing.F) {
	f.Add(uint64(0), uint64(1), int8(0), uint64(0), uint64(3), int8(0))
	f.Add(^uint64(0), ^uint64(0), int8(-30), uint64(1), uint64(0), int8(30))
	f.Fuzz(func(t *testing.T, ah, al uint64, ae int8, bh, bl uint64, be int8) {
		a, b := fuzzNum(ah, al, ae), fuzzNum(bh, bl, be)
		if b.isZero() {
			return
		}
		expect(t, "quotient", divide(a, b), new(big.Rat).Quo(a.rat(), b.rat()), a, b)
	})
}

// fuzzNum makes a num of 34 digits at most out of any bits.
func fuzzNum(hi, lo uint64, exp int8) num {
	_, r := wide{lo, hi}.div(pow10w[maxDigits])
	return newNum(r, int(exp)/2, exp&1 == 1)
}

func TestScaleUp(t *testing.T) {
	t.Parallel()
	rnd := source(t, 8)
	room := new(big.Int).Lsh(big.NewInt(1), 252)
	for range 3000 {
		a, k := draw(rnd), rnd.IntN(90)
		want := new(big.Int).Abs(a.big())
		want.Mul(want, bigPow10(k))
		w, ok := a.wide().scaleUp(k)
		if ok != (want.Cmp(room) < 0) || ok && w.int().Cmp(want) != 0 {
			t.Fatalf("%v·10^%d is %v, %v", a.wide().int(), k, w.int(), ok)
		}
	}
}
