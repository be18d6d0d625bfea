package exact

import (
	"math/big"

	"kerfbook/costing/graph"
)

// Counts look at nine places: much coarser than what rounding leaves in the 34th
// digit, so that an exact fit is not one blank short, and much finer than anything
// a shop counts. The other evaluators snap alike, which is why they agree.
const (
	snapPlaces = graph.SnapPlaces
	snapUnit   = 1_000_000_000 // 10^snapPlaces
)

// stepRule decides whether |x/step|, cut to a whole number, grows by one. rest is
// what was cut off, in units of the ninth place; odd says that the whole number is.
type stepRule func(neg bool, rest uint64, odd bool) bool

// The size was cut towards zero: going down, a negative number has to grow.
func floorStep(neg bool, rest uint64, _ bool) bool   { return neg && rest > 0 }
func ceilingStep(neg bool, rest uint64, _ bool) bool { return !neg && rest > 0 }
func roundStep(_ bool, rest uint64, _ bool) bool     { return rest >= snapUnit/2 }
func evenStep(_ bool, rest uint64, odd bool) bool {
	return rest > snapUnit/2 || rest == snapUnit/2 && odd
}

// toStep gives the multiple of step > 0 that x goes to.
//
// The quotient is rounded to nine places straight from its exact value. Rounding
// it to 34 digits on the way could carry it onto a half and round it a second time.
func toStep(x, step num, up stepRule) num {
	ninths, ok := snappedQuotient(x, step)
	if !ok {
		return toStepBig(x, step, up)
	}
	whole, rest := ninths.divSmall(snapUnit)
	if up(x.neg, rest, whole[0]&1 == 1) {
		whole = whole.plus(wide{1})
	}
	// A product takes two words by two.
	if whole[2]|whole[3] != 0 {
		return toStepBig(x, step, up)
	}
	n := newNum(whole, 0, x.neg)
	return rounded(product(n, step), int(step.exp), n.neg, false)
}

// snappedQuotient gives |x/step| in units of the ninth place, halves rounded away
// from zero; ok is false if it needs more than 256 bits.
func snappedQuotient(x, step num) (q wide, ok bool) {
	over, under := x.wide(), step.wide()
	shift := int(x.exp) - int(step.exp) + snapPlaces
	if shift >= 0 {
		over, ok = over.scaleUp(shift)
	} else {
		under, ok = under.scaleUp(-shift)
	}
	// div wants a divisor of two words.
	if !ok || under[2]|under[3] != 0 {
		return wide{}, false
	}
	q, r := over.div(under)
	if r.plus(r).cmp(under) >= 0 {
		q = q.plus(wide{1})
	}
	return q, true
}

// toStepBig is toStep without bounds.
func toStepBig(x, step num, up stepRule) num {
	over, under := x.big(), step.big()
	over.Abs(over)
	if shift := int(x.exp) - int(step.exp) + snapPlaces; shift >= 0 {
		over.Mul(over, bigPow10(shift))
	} else {
		under.Mul(under, bigPow10(-shift))
	}
	one := big.NewInt(1)
	ninths, r := over.QuoRem(over, under, new(big.Int))
	if r.Lsh(r, 1).Cmp(under) >= 0 {
		ninths.Add(ninths, one)
	}
	whole, rest := ninths.QuoRem(ninths, big.NewInt(snapUnit), r)
	if up(x.neg, rest.Uint64(), whole.Bit(0) == 1) {
		whole.Add(whole, one)
	}
	if x.neg {
		whole.Neg(whole)
	}
	return roundedBig(whole.Mul(whole, step.big()), int(step.exp), false)
}
