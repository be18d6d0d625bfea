package compare

import (
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Here are the few places that compute with decimals: differences of figures of
// the graph and their shares, which must add up to the last digit, where a node
// would round to 34 digits. No cost comes about here.

// difference is after − before, unrounded.
func difference(before, after decimal.Decimal) decimal.Decimal { return after.Sub(before) }

// total adds up, unrounded.
func total(parts []decimal.Decimal) decimal.Decimal {
	t := decimal.Zero
	for _, p := range parts {
		t = t.Add(p)
	}
	return t
}

// size is the sum of the sizes of the parts.
func size(parts ...decimal.Decimal) decimal.Decimal {
	t := decimal.Zero
	for _, p := range parts {
		t = t.Add(p.Abs())
	}
	return t
}

// snapped rounds as every evaluator does before it compares.
func snapped(d decimal.Decimal) decimal.Decimal { return d.Round(graph.SnapPlaces) }

// negligible reports whether an amount is no more than what rounding to 34 digits
// leaves of a scale.
func negligible(d, scale decimal.Decimal) bool {
	return d.Abs().LessThanOrEqual(scale.Shift(-lineDigits))
}

// settle makes the parts come to what they are parts of: the largest in size, the
// first of them on ties, takes what rounding left over. More than 10^-digits of
// scale left over is a [*RemainderError].
func settle(of string, parts []decimal.Decimal, whole, scale decimal.Decimal, digits int32) error {
	rest := difference(total(parts), whole)
	if rest.IsZero() {
		return nil
	}
	if len(parts) == 0 || rest.Abs().GreaterThan(scale.Shift(-digits)) {
		return &RemainderError{of, rest.String()}
	}
	at := 0
	for i, p := range parts {
		if p.Abs().GreaterThan(parts[at].Abs()) {
			at = i
		}
	}
	parts[at] = parts[at].Add(rest)
	return nil
}

// average is a weighted sum of whole weights ÷ divisor, rounded to a number of
// decimal places.
func average(weights []int64, values []decimal.Decimal, divisor int64, places int32) decimal.Decimal {
	t := decimal.Zero
	for i, v := range values {
		t = t.Add(v.Mul(decimal.New(weights[i], 0)))
	}
	return t.DivRound(decimal.New(divisor, 0), places)
}

// fromBinary rounds binary shares to as many decimal places as the largest of them
// has digits that count.
func fromBinary(shares []float64) []decimal.Decimal {
	out := make([]decimal.Decimal, len(shares))
	largest := int32(math.MinInt32)
	for i, f := range shares {
		if out[i] = decimal.NewFromFloat(f); !out[i].IsZero() {
			largest = max(largest, int32(out[i].NumDigits())+out[i].Exponent())
		}
	}
	if largest == math.MinInt32 {
		return out
	}
	places := binaryDigits - largest
	for i := range out {
		out[i] = out[i].Round(places)
	}
	return out
}

// binaryDigits is how many digits of the largest binary share are kept.
const binaryDigits = 13

// places is the number of decimal places that shares of a difference are given
// in: those of the difference, and at least enough for any currency.
func placesOf(d decimal.Decimal) int32 { return max(-d.Exponent(), leastPlaces) }

const leastPlaces = 24

// bySize orders by size, the largest first.
func bySize(a, b decimal.Decimal) int { return b.Abs().Cmp(a.Abs()) }

// entered is an amount as a node takes it: at most 34 digits. Steps are looked at
// to nine places, so nothing that is shown depends on what is cut off.
func entered(d decimal.Decimal) decimal.Decimal {
	if d.NumDigits() <= nodeDigits {
		return d
	}
	return d.Round(nodeDigits - int32(d.NumDigits()) - d.Exponent() - 1)
}

const nodeDigits = 34
