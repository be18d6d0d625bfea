package routing

import (
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// summed is how many units are added up one by one; after them the sum goes on
// by the formula of Euler and Maclaurin with four correction terms.
const summed = 16

// unitSum is the sum of k to the power b for k = 1 … n, −1 < b ≤ 0: the total of
// the unit model.
//
// Up to 16 units it is added up. After that it is C + E(n) with
//
//	E(n) = n^(1+b)/(1+b) + n^b/2 + Σ Bₘ/m! · b(b−1)…(b−m+2) · n^(b+1−m), m = 2, 4, 6, 8
//
// and C such that both agree at 16. What is left out is, by the same formula, the
// difference of its remainders at 16 and n. The derivatives of x^b all keep their
// signs and go to zero, so the remainder from 16 to n lies between zero and the
// first term left out, |B₁₀|/10! · |b(b−1)…(b−8)| · 16^(b−9), taken from 16 to n. With
// |b| ≤ 1 the product is at most 9!, so the error is below
//
//	5/66/10 · 16⁻⁹ · 16^b < 1.2·10⁻¹³ · 16^b.
//
// The sum itself is at least 16 · 16^b there, since the terms fall: the relative
// error is below 10⁻¹⁴ for every count and every rate.
type unitSum struct {
	s      graph.Scope
	b, b1  graph.ID
	terms  [4]graph.ID // Bₘ/m! · b(b−1)…, without its sign
	totals []graph.ID  // of the first 1, 2, … summed units
	start  graph.ID    // C
}

// counted is a whole number as a fixed figure.
func counted(s graph.Scope, n int64) graph.ID {
	if n == 1 {
		return s.One(graph.Plain)
	}
	text := strconv.FormatInt(n, 10)
	return s.Fixed("count-"+text, text, graph.Plain, decimal.New(n, 0), "definition")
}

func newUnitSum(s graph.Scope, b, b1 graph.ID) unitSum {
	u := unitSum{s: s, b: b, b1: b1, totals: []graph.ID{s.One(graph.Plain)}}
	for k := int64(2); k <= summed; k++ {
		text := strconv.FormatInt(k, 10)
		unit := s.Power("unit-"+text, "time of unit "+text+", first unit = 1", counted(s, k), b)
		u.totals = append(u.totals, s.Add("units-"+text, "time of the first "+text+" units, first unit = 1", u.totals[k-2], unit))
	}
	u.corrections()
	u.start = s.Subtract("sum-start", "what the formula for many units starts from", u.totals[summed-1], u.formula("sum-16", counted(s, summed)))
	return u
}

// corrections writes the coefficients of the four correction terms. m!/|Bₘ| is
// 12, 720, 30,240 and 1,209,600 for m = 2, 4, 6, 8 (Bernoulli numbers 1/6, −1/30,
// 1/42, −1/30).
func (u *unitSum) corrections() {
	s, product := u.s, u.b
	for i, divisor := range []int64{12, 720, 30_240, 1_209_600} {
		if i > 0 {
			product = s.Multiply("slope-product-"+strconv.Itoa(2*i+1), "product of the slope and those below it", product, u.below(2*i-1), u.below(2*i))
		}
		text := strconv.Itoa(i + 1)
		u.terms[i] = s.Divide("correction-"+text, "coefficient of correction "+text, product, counted(s, divisor))
	}
}

// below is b − n.
func (u *unitSum) below(n int) graph.ID {
	text := strconv.Itoa(n)
	return u.s.Subtract("slope-less-"+text, "slope − "+text, u.b, counted(u.s, int64(n)))
}

// formula is E(n).
func (u *unitSum) formula(name string, n graph.ID) graph.ID {
	s := u.s
	power := s.Power(name+"-power", "count to the power of the slope", n, u.b)
	whole := s.Divide(name+"-integral", "integral of the curve", s.Multiply(name+"-integral-top", "count to the power 1 + slope", n, power), u.b1)
	half := s.Divide(name+"-half", "half of the last unit", power, counted(s, 2))
	square := s.Multiply(name+"-square", "count squared", n, n)
	var powers [4]graph.ID
	for i := range powers {
		text := strconv.Itoa(i + 1)
		if i == 0 {
			powers[i] = s.Divide(name+"-power-"+text, "power of the count in correction "+text, power, n)
		} else {
			powers[i] = s.Divide(name+"-power-"+text, "power of the count in correction "+text, powers[i-1], square)
		}
	}
	added := s.SumProducts(name+"-added", "corrections added", u.terms[0], powers[0], u.terms[2], powers[2])
	taken := s.SumProducts(name+"-taken", "corrections taken off", u.terms[1], powers[1], u.terms[3], powers[3])
	return s.Subtract(name+"-formula", "formula for many units", s.Add(name+"-rough", "formula before the corrections taken off", whole, half, added), taken)
}

// upTo is the sum for a whole count n.
func (u *unitSum) upTo(name string, n graph.ID) graph.ID {
	s := u.s
	axis := graph.Axis{X: n, Bands: graph.Bands{BelowClosed: make([]bool, summed)}}
	for k := int64(1); k <= summed; k++ {
		axis.Edges = append(axis.Edges, counted(s, k))
	}
	few := s.Band(name+"-few", "time of few units, added up", axis, append([]graph.ID{s.Zero(graph.Plain)}, u.totals...)...)
	many := s.Add(name+"-many", "time of many units, by the formula", u.start, u.formula(name, n))
	return s.Choose(name+"-total", "time of the first units, first unit = 1", n, graph.Less, counted(s, summed), few, many)
}
