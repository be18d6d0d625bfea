package compare

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// RoundedAmounts are amounts rounded so that they still add up.
type RoundedAmounts struct {
	// From, To and Difference are the levels before and after, rounded, and
	// To − From, to which the amounts add up.
	From, To, Difference decimal.Decimal
	Steps                []RoundedStep
}

// RoundedStep is one amount rounded. Level is what has been reached with it.
// Percent is its share of the difference, to a tenth, rounded so that the shares
// come to 100; Known is false where the difference is nothing.
type RoundedStep struct {
	Amount, Level, Percent decimal.Decimal
	Known                  bool
}

// RoundedSides is a step with both its sides as they are shown.
type RoundedSides struct{ Before, After decimal.Decimal }

// RoundSides rounds what the steps of a whole come to on both sides, so that each side
// adds up to its headline as it is shown. What stays is rounded first: alike on both sides.
// What changes may differ by a coin from the amount shown beside it.
func RoundSides(steps []Step, unit graph.Unit, coin decimal.Decimal) ([]RoundedSides, error) {
	var order []int
	for _, staying := range []bool{true, false} {
		for i, s := range steps {
			if s.Amount.IsZero() == staying {
				order = append(order, i)
			}
		}
	}
	before, after := make([]decimal.Decimal, len(steps)), make([]decimal.Decimal, len(steps))
	for at, i := range order {
		before[at], after[at] = steps[i].Before, steps[i].After
	}
	was, err := Round(decimal.Zero, before, unit, coin)
	if err != nil {
		return nil, err
	}
	is, err := Round(decimal.Zero, after, unit, coin)
	if err != nil {
		return nil, err
	}
	out := make([]RoundedSides, len(steps))
	for at, i := range order {
		out[i] = RoundedSides{Before: was.Steps[at].Amount, After: is.Steps[at].Amount}
	}
	return out, nil
}

// Round rounds amounts in a unit to whole steps, such as the smallest unit of a
// currency. The amount k is what is reached with it, rounded, less what is reached
// before it, rounded (design of the shares of cents: round(up to k) − round(up to
// k−1)), so the amounts add up to what the ends, rounded, are apart.
//
// from is the level the amounts start at. From zero, they add up to their rounded
// sum, and a list of shares stands for itself. From the headline before, they lead
// from its rounded value to that of the headline after, as a waterfall does. The
// two can differ by one step. The error joins *graph.FaultError.
func Round(from decimal.Decimal, amounts []decimal.Decimal, unit graph.Unit, step decimal.Decimal) (*RoundedAmounts, error) {
	b := graph.NewBuilder(graph.Limits{MaxNodes: 10 * (1 + len(amounts))})
	s := b.Root().In("compare")
	coin := s.Fixed("rounding-step", "smallest amount shown", unit, step, "")
	start := s.Input("from", "where the amounts start", unit, entered(from))
	whole := s.Input("whole", "all amounts together", unit, entered(total(amounts...)))
	first := s.Round("from-rounded", "where the amounts start, rounded", start, coin)
	tenth := s.Fixed("tenth", "one tenth", graph.Plain, decimal.New(1, -1), "definition")
	hundred := s.Fixed("hundred", "hundred", graph.Plain, decimal.New(100, 0), "definition")

	type ids struct{ amount, level, percent graph.ID }
	var steps []ids
	reached, percentBefore, upTo := first, s.Zero(graph.Plain), graph.None
	for i, amount := range amounts {
		at := s.In("step", fmt.Sprint(i+1))
		exactly := at.Input("exactly", "amount before rounding", unit, entered(amount))
		if upTo == graph.None {
			upTo = exactly
		} else {
			upTo = at.Add("up-to", "amounts up to this one", upTo, exactly)
		}
		level := at.Round("level", "reached with this amount", at.Add("level-unrounded", "reached, before rounding", start, upTo), coin)
		percent := at.Round("percent-up-to", "percent up to this one", at.Multiply("percent-unrounded", "percent, before rounding",
			at.Divide("share", "share up to this one", upTo, whole), hundred), tenth)
		steps = append(steps, ids{at.Subtract("amount", "amount", level, reached), level,
			at.Subtract("percent", "percent of the difference", percent, percentBefore)})
		reached, percentBefore = level, percent
	}
	differ := s.Subtract("difference", "difference of what is shown", reached, first)
	g, err := b.Build()
	if err != nil {
		return nil, err
	}
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		return nil, err
	}
	value := func(id graph.ID) decimal.Decimal {
		v, _ := values.Raw(id)
		return v
	}
	r := &RoundedAmounts{From: value(first), To: value(reached), Difference: value(differ)}
	for _, s := range steps {
		r.Steps = append(r.Steps, RoundedStep{value(s.amount), value(s.level), value(s.percent), values.Defined(s.percent)})
	}
	return r, nil
}
