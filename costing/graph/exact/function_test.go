package exact

import (
	"math/big"
	"math/rand/v2"
	"testing"
)

// The oracles of these tests work the other way round from the code: a result is
// right if the inverse function, of the result half a unit of the 34th digit
// lower and higher, has the argument between them.

// bounds gives a result half a unit of its 34th digit lower and higher.
func bounds(a num) (low, high *big.Rat) {
	half := num{lo: 5, exp: int32(a.digits()+int(a.exp)) - maxDigits - 1}
	return new(big.Rat).Sub(a.rat(), half.rat()), new(big.Rat).Add(a.rat(), half.rat())
}

func between(low, x, high *big.Rat) bool { return low.Cmp(x) <= 0 && x.Cmp(high) <= 0 }

// positiveNum draws a number between about 10^-20 and 10^20.
func positiveNum(rnd *rand.Rand) num {
	for {
		a := draw(rnd)
		a.neg = false
		if top := a.digits() + int(a.exp); !a.isZero() && top > -20 && top < 20 {
			return a
		}
	}
}

func ratPower(r *big.Rat, n int) *big.Rat {
	if n < 0 {
		return new(big.Rat).Inv(ratPower(r, -n))
	}
	e := big.NewInt(int64(n))
	return new(big.Rat).SetFrac(new(big.Int).Exp(r.Num(), e, nil), new(big.Int).Exp(r.Denom(), e, nil))
}

func TestSquareRootIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 21)
	for range 1500 {
		a := positiveNum(rnd)
		low, high := bounds(squareRoot(a))
		if !between(ratPower(low, 2), a.rat(), ratPower(high, 2)) {
			t.Fatalf("root of %v is %v", a.decimal(), squareRoot(a).decimal())
		}
	}
}

func TestSquareRootOfSquares(t *testing.T) {
	t.Parallel()
	rnd := source(t, 22)
	for range 1500 {
		a := fromInt(rnd.Uint64N(100_000_000_000_000_000))
		a.exp = int32(rnd.IntN(41) - 20)
		if got := squareRoot(multiply(a, a)); got.cmp(a) != 0 {
			t.Fatalf("root of the square of %v is %v", a.decimal(), got.decimal())
		}
	}
}

const oraclePrec = 520

func float(r *big.Rat) *big.Float { return new(big.Float).SetPrec(oraclePrec).SetRat(r) }

// oracleExp is the plain Taylor series of x/2^20, squared twenty times.
func oracleExp(r *big.Rat) *big.Float {
	x := float(r)
	x.SetMantExp(x, -20)
	sum, term := float(big.NewRat(1, 1)), float(big.NewRat(1, 1))
	for n := int64(1); term.Sign() != 0 && term.MantExp(nil) > -oraclePrec; n++ {
		term.Mul(term, x).Quo(term, float(big.NewRat(n, 1)))
		sum.Add(sum, term)
	}
	for range 20 {
		sum.Mul(sum, sum)
	}
	return sum
}

// oracleCos is the plain Taylor series.
func oracleCos(r *big.Rat) *big.Float {
	x := float(r)
	x.Mul(x, x).Neg(x)
	sum, term := float(big.NewRat(1, 1)), float(big.NewRat(1, 1))
	for n := int64(1); term.Sign() != 0 && term.MantExp(nil) > -oraclePrec; n += 2 {
		term.Mul(term, x).Quo(term, float(big.NewRat(n*(n+1), 1)))
		sum.Add(sum, term)
	}
	return sum
}

// exponential gives e to the power a, as powers work it out.
func exponential(a num) num {
	return settle(func(p uint) approx { return fixedExp(a.fixed(p), p) })
}

func TestExponentialIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 24)
	args := []num{{lo: 5, exp: -34}, {lo: 5, exp: -34, neg: true}, {lo: 5, exp: -35, neg: true}, {lo: 1, exp: -60}}
	for len(args) < 200 {
		if a := draw(rnd); a.digits()+int(a.exp) <= 2 && !a.isZero() {
			args = append(args, a)
		}
	}
	for _, a := range args {
		low, high := bounds(exponential(a))
		if e := oracleExp(a.rat()); float(low).Cmp(e) > 0 || float(high).Cmp(e) < 0 {
			t.Fatalf("exp of %v is %v, want %v", a.decimal(), exponential(a).decimal(), e.Text('g', 50))
		}
	}
}

func TestNaturalLogIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 25)
	var args []num
	for k := range uint64(12) { // next to 1, where digits cancel and ties nearly happen
		for _, exp := range []int32{-33, -20, -5} {
			tiny := num{lo: k + 1, exp: exp}
			args = append(args, add(fromInt(1), tiny), add(fromInt(1), tiny.negated()))
		}
	}
	for len(args) < 200 {
		args = append(args, positiveNum(rnd))
	}
	for _, a := range args {
		if isOne(a) {
			continue
		}
		low, high := bounds(naturalLog(a))
		if x := float(a.rat()); oracleExp(low).Cmp(x) > 0 || oracleExp(high).Cmp(x) < 0 {
			t.Fatalf("ln of %v is %v", a.decimal(), naturalLog(a).decimal())
		}
	}
}

func TestArcCosineIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 26)
	args := []num{{lo: 1, exp: -34}, {lo: 1, exp: -60}, {lo: 999, exp: -3}}
	for k := range uint64(6) {
		near := add(fromInt(1), num{lo: k + 1, exp: -34, neg: true})
		args = append(args, near, near.negated())
	}
	for len(args) < 150 {
		a := draw(rnd)
		a.exp = -int32(a.digits() + rnd.IntN(3))
		args = append(args, newNum(a.wide(), int(a.exp), a.neg))
	}
	for _, a := range args {
		low, high := bounds(arcCosine(a))
		if x := float(a.rat()); oracleCos(low).Cmp(x) < 0 || oracleCos(high).Cmp(x) > 0 {
			t.Fatalf("arccos of %v is %v", a.decimal(), arcCosine(a).decimal())
		}
	}
}

func TestLogOfExponential(t *testing.T) {
	t.Parallel()
	rnd := source(t, 27)
	for range 200 {
		a := positiveNum(rnd)
		back := exponential(naturalLog(a))
		// The last digit of ln a of two or three digits before the point is worth
		// up to 100 units of the 34th digit of a.
		off := new(big.Rat).Quo(new(big.Rat).Sub(back.rat(), a.rat()), a.rat())
		if off.Abs(off).Cmp(num{lo: 1, exp: -31}.rat()) > 0 {
			t.Fatalf("exp ln %v is %v", a.decimal(), back.decimal())
		}
	}
}

func TestWholePowerIsNearest(t *testing.T) {
	t.Parallel()
	rnd := source(t, 28)
	for range 400 {
		a, n := positiveNum(rnd), rnd.IntN(41)-20
		a.exp = int32(1 - a.digits()) // 1 ≤ a < 10
		y := newNum(wide{uint64(max(n, -n))}, 0, n < 0)
		expect(t, "power", power(a, y), ratPower(a.rat(), n), a, y)
	}
}

// TestFractionalPower compares r^q with x^p for r = x^(p/q), in whole numbers.
func TestFractionalPower(t *testing.T) {
	t.Parallel()
	rnd := source(t, 29)
	for range 150 {
		x := positiveNum(rnd)
		x.exp = int32(2 - x.digits())
		p, places := rnd.IntN(81)-40, rnd.IntN(2)+1
		y := newNum(wide{uint64(max(p, -p))}, -places, p < 0)
		q := int(pow10[places])
		low, high := bounds(power(x, y))
		if want := ratPower(x.rat(), p); !between(ratPower(low, q), want, ratPower(high, q)) {
			t.Fatalf("%v to the power %v is %v", x.decimal(), y.decimal(), power(x, y).decimal())
		}
	}
}

// TestPowerOfRoots: (s^q)^(p/q) is s^p to the last digit, where s^q fits.
func TestPowerOfRoots(t *testing.T) {
	t.Parallel()
	for s := uint64(2); s < 40; s++ {
		for _, q := range []int{2, 4, 5, 8, 10, 16, 20} {
			base := num{lo: s, exp: -1}
			x := roundedBig(new(big.Int).Exp(base.big(), big.NewInt(int64(q)), nil), -q, false)
			if x.cmp(wholePower(base, q)) != 0 || x.rat().Cmp(ratPower(base.rat(), q)) != 0 {
				continue // too long to be exact
			}
			for _, p := range []int{1, -1, 3, 7} {
				y := divide(newNum(wide{uint64(max(p, -p))}, 0, p < 0), fromInt(uint64(q)))
				expect(t, "power", power(x, y), ratPower(base.rat(), p), x, y)
			}
		}
	}
}

// TestPowerTies: (s²)^1.5 is s³, here with 35 digits of which the last is 5, so
// that only the exact power rounds it right.
func TestPowerTies(t *testing.T) {
	t.Parallel()
	y := num{lo: 15, exp: -1}
	for i := range uint64(40) {
		s := fromInt(250_000_000_005 + 10*i)
		x := multiply(s, s)
		if cube := ratPower(s.rat(), 3); len(cube.Num().String()) != maxDigits+1 {
			t.Fatalf("the cube of %v is no tie", s.decimal())
		}
		expect(t, "power", power(x, y), ratPower(s.rat(), 3), x, y)
	}
}

func TestConstants(t *testing.T) {
	t.Parallel()
	// OEIS A002162 and A000796, from memory; 100 digits of ln 2 and π.
	for name, c := range map[string]struct {
		fixed  *big.Int
		digits string
	}{
		"ln 2": {fixedLogTwo, "0.6931471805599453094172321214581765680755001343602552541206800094933936219696947156058633269964186875"},
		"π":    {fixedPi, "3.1415926535897932384626433832795028841971693993751058209749445923078164062862089986280348253421170679"},
	} {
		want, _ := new(big.Rat).SetString(c.digits)
		off := new(big.Rat).Sub(new(big.Rat).SetFrac(c.fixed, fixedOne(constantBits)), want)
		if off.Abs(off).Cmp(new(big.Rat).SetFrac(big.NewInt(1), bigPow10(99))) > 0 {
			t.Errorf("%s is off by %s", name, off.FloatString(110))
		}
	}
}
