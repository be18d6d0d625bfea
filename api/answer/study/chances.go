package study

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/estimate"
)

// eightOfTen is the chance that a price is told for beside the one that is asked.
var eightOfTen = decimal.New(8, -1)

// chanceDraws are enough to say a chance in tenths.
const chanceDraws = 10_000

// PriceList prices trims and parts, and says of the prices of the parts how likely what is
// wanted is met, if that is asked.
func PriceList(ctx context.Context, o change.Origin, req answer.PriceRequest) (answer.PriceList, error) {
	list, err := o.Price(ctx, req)
	if err != nil || !req.Chances {
		return list, err
	}
	for i, e := range list.Estimates {
		if len(e.Variants) == 0 || e.Mix[0].Part == "" {
			continue
		}
		pieces, err := decimal.NewFromString(e.Mix[0].Quantity.Value)
		if err != nil {
			return list, answer.Unexpected(err)
		}
		all, err := Chances(ctx, o, change.Batch{Mix: estimate.Alone(e.Mix[0].Part, pieces, req.Margin), Day: req.Day})
		if answer.CodeOf(err) == answer.Invalid { // withheld for a gap, said beside the cost
			continue
		} else if err != nil {
			return list, err
		}
		told := slices.Clone(e.Variants) // the kept one stays as it is
		told[0].Channels = slices.Clone(told[0].Channels)
		for k := range told[0].Channels {
			told[0].Channels[k].Chance = chanceOf(all, told[0].Channels[k].Channel)
		}
		list.Estimates[i].Variants = told
	}
	return list, nil
}

func chanceOf(all []ChannelChance, channel bom.ID) string {
	at := slices.IndexFunc(all, func(c ChannelChance) bool { return c.Channel == channel })
	if at < 0 || all[at].Chance == nil {
		return ""
	}
	return all[at].Chance.Value
}

// Chances says of every price of a batch how likely what is wanted is met, by fewer draws
// than a spread and without what moves it.
func Chances(ctx context.Context, o change.Origin, b change.Batch) ([]ChannelChance, error) {
	q, err := NewSpreading(ctx, o, SpreadRequest{Batch: b, Draws: chanceDraws, Seed: DefaultSeed})
	if err != nil {
		return nil, err
	}
	q.draw.Outputs = nil
	for i := range q.pricing {
		q.pricing[i].chance = []decimal.Decimal{eightOfTen}
		if q.pricing[i].why == "" {
			q.draw.Outputs = append(q.draw.Outputs, q.pricing[i].Required)
		}
	}
	q.draw.Outputs = answer.Compact(q.draw.Outputs)
	if len(q.draw.Outputs) == 0 {
		return q.chances(&simulate.Result{})
	}
	result, err := simulate.Run(ctx, q.Evaluator(), q.draw, func(int, int) {})
	if err != nil {
		return nil, q.fault(err)
	}
	return q.chances(result)
}
