package whatif

import (
	"cmp"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/trade"
	"kerfbook/web/frame"
)

// isBasis reports that the key of a field is one.
func isBasis(key string) bool {
	kind, _, path, ok := fieldKey(key)
	return ok && kind == "prices" && path == "rests_on"
}

// notExceeded is the choice that takes a number of draws beside it.
const notExceeded = "not exceeded"

// basisAsked is the text of the field that the form asks for with a number of draws.
func basisAsked(c *frame.Call, of string) string {
	number, err := c.Style.Whole(c.R.Form.Get(of))
	if err != nil {
		number = c.R.Form.Get(of) // refused where the basis is read
	}
	return string(trade.NotExceeded(number))
}

// basisForm asks what a price rests on: which cost, and of how many draws.
func basisForm(c *frame.Call, o *oneChange) {
	now, asked := trade.CostBasis(o.Now), trade.CostBasis(o.Value)
	chosen := cmp.Or(string(asked), string(trade.Likely))
	if asked.Of100() != "" {
		chosen = notExceeded
	}
	o.Label, o.Now = "cost that the price rests on", "the "+now.Words()
	o.Field.Label, o.Field.Hint = "The price rests on the", "Numbers that are ranges are drawn many times; often the likely cost is exceeded in most of the draws."
	o.Field.Offer([]frame.Option{{Value: string(trade.Likely), Label: trade.Likely.Words()}, {Value: string(trade.Average), Label: trade.Average.Words()},
		{Value: notExceeded, Label: "cost that so many of 100 batches do not exceed"}}, chosen)
	name := strings.Replace(o.Name, "value", "of", 1)
	o.Of = &frame.Field{Name: name, Label: "Of 100 draws", Value: c.Typed(name, cmp.Or(asked.Of100(), "80")), Mode: "numeric", Hint: "1 to 99, for the last choice."}
}

// basisNotes say what prices rest on before and after a change, in the channels in which
// draws are behind them.
func basisNotes(before, after answer.VariantPrices) []string {
	var out []string
	drawn := change.Drawn(before, after)
	for i, ch := range before.Channels {
		if !drawn[ch.Channel] || i >= len(after.Channels) {
			continue
		}
		note := "The price in " + string(ch.Channel) + " rests on the " + after.Channels[i].RestsOn.Words()
		if was := ch.RestsOn.Words(); was != after.Channels[i].RestsOn.Words() {
			note += ", before on the " + was + "."
		} else {
			note += ", drawn anew for the change."
		}
		out = append(out, note)
	}
	return out
}
