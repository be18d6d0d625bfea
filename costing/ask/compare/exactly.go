package compare

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"math/bits"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Here are the few places that compute with decimals: differences of figures of
// the graph and their shares, which must add up to the last digit, where a node
// would round to 34 digits. No cost comes about here.

// How exact a sum must be before its parts are made to add up, in digits of the scale.
const (
	lineDigits    = 25 // what ten roundings to 34 digits leave, and a good margin
	shapleyDigits = 22
	wayDigits     = 9
)

// difference is after − before, unrounded.
func difference(before, after decimal.Decimal) decimal.Decimal { return after.Sub(before) }

// total adds up, unrounded.
func total(parts ...decimal.Decimal) decimal.Decimal {
	return decimal.Sum(decimal.Zero, parts...)
}

// scaleOf is the size of all lines of both sides together, and at least one unit.
func scaleOf(sides ...*side) decimal.Decimal {
	t := decimal.New(1, 0)
	for _, s := range sides {
		t = t.Add(s.value.Abs())
		for _, l := range s.lines {
			t = t.Add(l.value.Abs())
		}
	}
	return t
}

// bySize orders by size, the largest first.
func bySize(a, b decimal.Decimal) int { return b.Abs().Cmp(a.Abs()) }

// snapped rounds as every evaluator does before it compares.
func snapped(d decimal.Decimal) decimal.Decimal { return d.Round(graph.SnapPlaces) }

// negligible reports whether an amount is no more than what rounding to 34 digits
// leaves of a scale.
func negligible(d, scale decimal.Decimal) bool {
	return d.Abs().LessThanOrEqual(scale.Shift(-lineDigits))
}

// addUp makes the parts come to what they are parts of: the largest in size, the
// first of them on ties, takes what rounding left over. More than 10^-digits of
// scale left over is a mistake in this package, which nothing hides.
func addUp(of string, parts []decimal.Decimal, whole, scale decimal.Decimal, digits int32) error {
	rest := difference(total(parts...), whole)
	if rest.IsZero() {
		return nil
	}
	if len(parts) == 0 || rest.Abs().GreaterThan(scale.Shift(-digits)) {
		return fmt.Errorf("the parts of %s leave %s over", of, rest)
	}
	largest := &parts[0]
	for i := range parts {
		if bySize(parts[i], *largest) < 0 {
			largest = &parts[i]
		}
	}
	*largest = largest.Add(rest)
	return nil
}

// shapley gives each of n players the average, over all orders of joining, of what
// it adds to those before it:
//
//	φᵢ = Σ over S without i of |S|! (n−1−|S|)! / n! · (v(S+i) − v(S))
//
// rounded to a number of decimal places. v gives what a subset comes to, in which
// bit i is set for player i, and is asked for every subset once.
func shapley(ctx context.Context, n int, v func(subset uint) (decimal.Decimal, error), places int32) ([]decimal.Decimal, error) {
	values := make([]decimal.Decimal, 1<<n)
	for subset := range values {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		var err error
		if values[subset], err = v(uint(subset)); err != nil {
			return nil, err
		}
	}
	factorial := func(n int) decimal.Decimal {
		return decimal.NewFromBigInt(new(big.Int).MulRange(1, int64(n)), 0)
	}
	weights := make([]decimal.Decimal, n) // by how many joined before
	for before := range weights {
		weights[before] = factorial(before).Mul(factorial(n - 1 - before))
	}
	out := make([]decimal.Decimal, n)
	for i := range out {
		for subset := range uint(len(values)) {
			if subset&(1<<i) == 0 {
				adds := difference(values[subset], values[subset|1<<i])
				out[i] = out[i].Add(adds.Mul(weights[bits.OnesCount(subset)]))
			}
		}
		out[i] = out[i].DivRound(factorial(n), places)
	}
	return out, nil
}

// fromBinary rounds binary shares to as many decimal places as the largest of them
// has digits that count, which are thirteen.
func fromBinary(shares []float64) []decimal.Decimal {
	out := make([]decimal.Decimal, len(shares))
	largest := int32(math.MinInt32)
	for i, f := range shares {
		if out[i] = decimal.NewFromFloat(f); !out[i].IsZero() {
			largest = max(largest, int32(out[i].NumDigits())+out[i].Exponent())
		}
	}
	for i := range out {
		if largest != math.MinInt32 {
			out[i] = out[i].Round(13 - largest)
		}
	}
	return out
}

// entered is an amount as a node takes it: at most 34 digits. Steps are looked at
// to nine places, so nothing that is shown depends on what is cut off.
func entered(d decimal.Decimal) decimal.Decimal {
	const most = 34
	if d.NumDigits() <= most {
		return d
	}
	return d.Round(most - int32(d.NumDigits()) - d.Exponent() - 1)
}
