package study

import (
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// pricing is a price of a variant in a channel, with what is asked about it.
type pricing struct {
	estimate.ChannelPrice
	trim   string
	why    string // there are no chances; empty where there are
	prices []decimal.Decimal
	chance []decimal.Decimal
}

// wanted is the margin or markup wanted.
func (p pricing) wanted() graph.ID {
	if p.Wanted == graph.None {
		return p.Beside
	}
	return p.Wanted
}

// channels lists the prices of all variants.
func (q *spreading) channels() []pricing {
	var out []pricing
	for _, v := range q.Estimate.Variants {
		for _, p := range v.Prices {
			out = append(out, pricing{ChannelPrice: p, trim: v.Line.Name(), why: q.noChance(p), chance: slices.Clone(usualChances)})
		}
	}
	return out
}

// noChance says why there is no chance that what is wanted is met.
func (q *spreading) noChance(p estimate.ChannelPrice) string {
	if p.Required == graph.None {
		return "the price is entered by hand and no margin is wanted beside it, so there is none to meet; enter a margin beside the price"
	}
	if _, err := q.Values.Get(p.Required); err != nil {
		return "the price that meets what is wanted cannot be computed: " + err.Error()
	}
	return ""
}

// chances reads, from the draws of the price that meets what is wanted, how sure
// prices are: a price meets it in the draws in which it is not below that one.
func (q *spreading) chances(r *simulate.Result) ([]ChannelChance, error) {
	out := []ChannelChance{}
	for _, p := range q.pricing {
		c := ChannelChance{Trim: p.trim, Channel: p.Channel, Unit: q.Estimate.Graph.Node(p.Shelf).Unit.String(),
			Wanted: q.reader.Figure(p.wanted()), Asked: q.reader.Figure(p.Shelf), Why: p.why}
		if p.why == "" {
			at := slices.IndexFunc(r.Outputs, func(o simulate.Output) bool { return o.ID == p.Required })
			if err := q.chance(&c, p, &r.Outputs[at]); err != nil {
				return nil, err
			}
		}
		out = append(out, c)
	}
	return out, nil
}

func (q *spreading) chance(c *ChannelChance, p pricing, required *simulate.Output) error {
	if asked, ok := q.Values.Raw(p.Shelf); ok {
		s := atMost(required, asked)
		c.Chance = &s
	}
	for _, price := range p.prices {
		c.At = append(c.At, ChanceAtPrice{price.String(), atMost(required, price)})
	}
	for _, share := range p.chance {
		s := quantileOf(required, share)
		point, err := q.point(p, s)
		if err != nil {
			return err
		}
		c.Prices = append(c.Prices, PriceAtChance{share.String(), s, point})
	}
	return nil
}

// point evaluates the price point of a price.
func (q *spreading) point(p pricing, price Statistic) (string, error) {
	d, err := decimal.NewFromString(price.Value)
	if p.Free == graph.None || err != nil {
		return "", nil
	}
	pins := exact.Pins{p.Free: d}
	maps.Copy(pins, q.Hold)
	values, err := q.Evaluator().Evaluate(pins)
	if err != nil {
		return "", err
	}
	shelf, ok := values.Raw(p.Shelf)
	if !ok {
		return "", nil
	}
	return shelf.String(), nil
}
