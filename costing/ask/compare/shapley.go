package compare

import (
	"context"
	"math/bits"

	"github.com/shopspring/decimal"
)

// worth gives what a subset of changed inputs comes to: bit i is set where input i
// has its value after, else it has the one before.
type worth func(subset uint) (decimal.Decimal, error)

// shapley gives each of n players the average, over all orders of joining, of what
// it adds to those before it:
//
//	φᵢ = Σ over S without i of |S|! (n−1−|S|)! / n! · (v(S+i) − v(S))
//
// rounded to a number of decimal places. It asks for every subset once.
func shapley(ctx context.Context, n int, v worth, places int32) ([]decimal.Decimal, error) {
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
	out := make([]decimal.Decimal, n)
	for i := range out {
		weights := make([]int64, 0, len(values)/2)
		adds := make([]decimal.Decimal, 0, len(values)/2)
		for subset := range uint(len(values)) {
			if subset&(1<<i) == 0 {
				before := bits.OnesCount(subset)
				weights = append(weights, factorial(before)*factorial(n-1-before))
				adds = append(adds, difference(values[subset], values[subset|1<<i]))
			}
		}
		out[i] = average(weights, adds, factorial(n), places)
	}
	return out, nil
}

// factorial is n! for n up to 20.
func factorial(n int) int64 {
	out := int64(1)
	for i := 2; i <= n; i++ {
		out *= int64(i)
	}
	return out
}
