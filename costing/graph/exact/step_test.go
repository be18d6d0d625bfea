package exact

import (
	"math/big"
	"testing"
)

// TestStepOfMultiples: k·step, computed and divided again, stays k steps.
func TestStepOfMultiples(t *testing.T) {
	t.Parallel()
	rnd := source(t, 11)
	for range 1500 {
		step := fromInt(rnd.Uint64N(100000) + 1)
		step.exp = -int32(rnd.IntN(6))
		k := fromInt(rnd.Uint64N(100000))
		k.neg = rnd.IntN(2) == 0 && !k.isZero()
		want := multiply(k, step)
		// One through a quotient that has been rounded, one straight.
		third := multiply(divide(want, fromInt(3)), fromInt(3))
		for _, x := range []num{want, third} {
			for name, up := range map[string]stepRule{"floor": floorStep, "ceiling": ceilingStep, "round": roundStep, "even": evenStep} {
				if got := toStep(x, step, up); got.cmp(want) != 0 {
					t.Fatalf("%s of %v by %v is %v, want %v", name, x.decimal(), step.decimal(), got.decimal(), want.decimal())
				}
			}
		}
	}
}

// TestStepAgainstFractions takes the rule literally, in fractions.
func TestStepAgainstFractions(t *testing.T) {
	t.Parallel()
	rnd := source(t, 12)
	for range 800 {
		x, step := draw(rnd), draw(rnd)
		if step.neg = false; step.isZero() {
			continue
		}
		for name, c := range map[string]struct {
			up    stepRule
			whole func(*big.Rat) *big.Int
		}{
			"floor": {floorStep, ratFloor}, "ceiling": {ceilingStep, ratCeiling},
			"round": {roundStep, ratRound}, "even": {evenStep, ratRoundEven},
		} {
			q := ninthPlace(new(big.Rat).Quo(x.rat(), step.rat()))
			want := new(big.Rat).SetInt(c.whole(q))
			want.Mul(want, step.rat())
			expect(t, name, toStep(x, step, c.up), want, x, step)
			expect(t, "big "+name, toStepBig(x, step, c.up), want, x, step)
		}
	}
}

func TestSnapped(t *testing.T) {
	t.Parallel()
	rnd := source(t, 13)
	for i := range 800 {
		x := draw(rnd)
		if i%2 == 0 { // a tie of the ninth place, long or short
			x = num{lo: rnd.Uint64N(1_000_000)*10 + 5, exp: -snapPlaces - 1, neg: x.neg}
			x = x.stripped(-maxDigits + rnd.IntN(2*maxDigits))
		}
		if got, want := x.snapped().rat(), ninthPlace(x.rat()); got.Cmp(want) != 0 {
			t.Fatalf("%v snaps to %v, want %v", x.decimal(), x.snapped().decimal(), want)
		}
	}
}

// ninthPlace rounds to nine places, halves away from zero.
func ninthPlace(r *big.Rat) *big.Rat {
	unit := big.NewRat(snapUnit, 1)
	out := new(big.Rat).SetInt(ratRound(new(big.Rat).Mul(r, unit)))
	return out.Quo(out, unit)
}

func ratFloor(r *big.Rat) *big.Int {
	// Div of a positive divisor goes towards −∞.
	return new(big.Int).Div(r.Num(), r.Denom())
}

func ratCeiling(r *big.Rat) *big.Int {
	n := ratFloor(new(big.Rat).Neg(r))
	return n.Neg(n)
}

func ratRound(r *big.Rat) *big.Int {
	if r.Sign() < 0 {
		n := ratRound(new(big.Rat).Neg(r))
		return n.Neg(n)
	}
	return ratFloor(new(big.Rat).Add(r, big.NewRat(1, 2)))
}

func ratRoundEven(r *big.Rat) *big.Int {
	n := ratRound(r)
	half := new(big.Rat).Sub(r, new(big.Rat).SetInt(n))
	if half.Abs(half).Cmp(big.NewRat(1, 2)) == 0 && n.Bit(0) == 1 {
		n.Sub(n, big.NewInt(int64(r.Sign())))
	}
	return n
}
