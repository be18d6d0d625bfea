package study

import (
	"context"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/ask/simulate"
)

// chanceDraws are enough to say a chance in tenths.
const chanceDraws = 10_000

// Chances says of every price of a batch how likely what is wanted is met, by fewer draws
// than a spread and without what moves it.
func Chances(ctx context.Context, o change.Origin, b change.Batch) ([]ChannelChance, error) {
	q, err := NewSpreading(ctx, o, SpreadRequest{Batch: b, Draws: chanceDraws, Seed: DefaultSeed})
	if err != nil {
		return nil, err
	}
	q.draw.Outputs = nil
	for i := range q.pricing {
		q.pricing[i].chance = nil
		if q.pricing[i].why == "" {
			q.draw.Outputs = append(q.draw.Outputs, q.pricing[i].Required)
		}
	}
	q.draw.Outputs = answer.Compact(q.draw.Outputs)
	if len(q.draw.Outputs) == 0 {
		return q.chances(&simulate.Result{})
	}
	result, err := simulate.Run(ctx, q.Estimate.Graph, q.draw, func(int, int) {})
	if err != nil {
		return nil, q.fault(err)
	}
	return q.chances(result)
}
