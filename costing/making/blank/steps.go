package blank

import "github.com/shopspring/decimal"

// ruler measures lengths in whole steps of 10^-places mm, so that solvers and
// pictures count in integers: sums, differences and fits are exact.
type ruler struct{ places int32 }

// maxSteps bounds a length, so that the product of two is an int64.
const maxSteps = 1<<31 - 1

// newRuler gives a ruler on which each length is a whole number of steps, with at
// least as many places as asked for. It is false where a length has more steps
// than a ruler has.
func newRuler(places int32, lengths ...decimal.Decimal) (ruler, bool) {
	for _, d := range lengths {
		// Finer until it is exact: a layout that only nearly fits is none.
		for !d.Shift(places).IsInteger() {
			places++
		}
	}
	r := ruler{places}
	for _, d := range lengths {
		if _, ok := r.steps(d); !ok {
			return ruler{}, false
		}
	}
	return r, true
}

// steps gives a length that the ruler was made for.
func (r ruler) steps(d decimal.Decimal) (int64, bool) {
	n := d.Shift(r.places)
	if n.Abs().GreaterThan(decimal.NewFromInt(maxSteps)) {
		return 0, false
	}
	return n.IntPart(), true
}

// all gives lengths that the ruler was made for.
func (r ruler) all(lengths []decimal.Decimal) []int64 {
	out := make([]int64, len(lengths))
	for i, d := range lengths {
		out[i], _ = r.steps(d)
	}
	return out
}

// mm gives a number of steps as a length.
func (r ruler) mm(steps int64) decimal.Decimal { return decimal.New(steps, -r.places) }
