package simulate

import (
	"context"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Bar is a figure with one input at its P10 and at its P90 and every other input
// at its likely value.
type Bar struct {
	Input graph.ID
	// P10 and P90 of the input, rounded to 12 significant digits.
	P10, P90 decimal.Decimal
	// AtP10 and AtP90 are the exact figure; nil where it has no value there.
	AtP10, AtP90 *decimal.Decimal
	// Swing is |AtP90 − AtP10|; zero where one of them is nil.
	Swing decimal.Decimal
	// Correlated inputs move together in the draws of [Run], but not here.
	Correlated bool
}

// Tornado evaluates a figure exactly with each range that it rests on at its P10
// and at its P90, the other inputs at their likely values and decisions held as in
// [Run]. The widest swing is first; of equal ones the smaller key. Outputs, Draws,
// Seed and Precision of the request are not used. The errors are those of [Run].
func Tornado(ctx context.Context, e *exact.Evaluator, figure graph.ID, r Request) ([]Bar, error) {
	r.Outputs = []graph.ID{figure}
	s, err := newSubject(e, &r)
	if err != nil {
		return nil, err
	}
	bars := make([]Bar, len(s.inputs))
	for i, in := range s.inputs {
		bars[i] = Bar{Input: in.id, Correlated: in.group >= 0, P10: toDecimal(in.spread.Quantile(0.10)), P90: toDecimal(in.spread.Quantile(0.90))}
	}
	likely, err := s.exact.Live(s.pins)
	if err != nil {
		return nil, err
	}
	likely.Raw(figure) // what an input does not reach is in every copy
	var runners []blockRunner
	for range cores(len(bars)) {
		live := likely.Copy()
		runners = append(runners, func(block int) error {
			b := &bars[block]
			b.AtP10, b.AtP90 = with(live, figure, b.Input, b.P10), with(live, figure, b.Input, b.P90)
			live.Release(b.Input)
			return live.Err()
		})
	}
	if err := doBlocks(ctx, runners, 0, len(bars), func(int) {}); err != nil {
		return nil, err
	}
	for i := range bars {
		if b := &bars[i]; b.AtP10 != nil && b.AtP90 != nil {
			b.Swing = b.AtP90.Sub(*b.AtP10).Abs()
		}
	}
	slices.SortStableFunc(bars, func(a, b Bar) int { return b.Swing.Cmp(a.Swing) })
	return bars, nil
}

// with gives a figure with one input at a value; nil where it has none then.
func with(v *exact.Live, figure, input graph.ID, value decimal.Decimal) *decimal.Decimal {
	v.Pin(input, value)
	if d, ok := v.Raw(figure); ok {
		return &d
	}
	return nil
}

// inputDigits is how many significant digits the P10 or P90 of an input has.
const inputDigits = 12

// toDecimal writes a float as a decimal of inputDigits digits.
func toDecimal(v float64) decimal.Decimal {
	d, err := decimal.NewFromString(strconv.FormatFloat(v, 'e', inputDigits-1, 64))
	if err != nil {
		return decimal.Decimal{} // a range is finite
	}
	return d
}
