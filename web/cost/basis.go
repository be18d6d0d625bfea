package cost

import (
	"cmp"
	"slices"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/trade"
	"kerfbook/web/frame"
)

// restsOn says what cost a price rests on, and where that is changed; nothing of a price
// that is not there.
type restsOn struct{ Words, Href string }

// restsOnAll says it of the prices of a channel.
func restsOnAll(columns []channelPrices) []restsOn {
	var out []restsOn
	for _, c := range columns {
		var one restsOn
		switch def := c.price.Def; {
		case c.price.Shelf.Key == "":
		case def.Entered():
			one.Words = "none, it is entered"
		default:
			one = restsOn{def.RestsOn.Words(), "/change" + c.link.Query + "&key=" + basisKey(def)}
		}
		out = append(out, one)
	}
	return out
}

// basisKey is the key of the field of a price that says what it rests on.
func basisKey(p trade.Price) string { return "book/prices/" + string(p.ID()) + "/rests_on" }

// isBasis reports that the key of a field is one.
func isBasis(key string) bool {
	kind, _, path, ok := fieldKey(key)
	return ok && kind == "prices" && path == "rests_on"
}

// notExceeded is the choice that takes a number of draws beside it.
const notExceeded = "not exceeded"

// basisAsked is the text of the field that the form asks for.
func basisAsked(c *frame.Call, value string) string {
	if value == notExceeded {
		of, err := c.Style.Whole(c.R.Form.Get("of"))
		if err != nil {
			of = c.R.Form.Get("of") // refused where the basis is read
		}
		return string(trade.NotExceeded(of))
	}
	return value
}

// basisForm asks what a price rests on: which cost, and of how many draws.
func basisForm(c *frame.Call, body *changeBody, now trade.CostBasis) {
	asked := now
	if c.R.Form.Has("value") {
		asked = trade.CostBasis(basisAsked(c, c.R.Form.Get("value")))
	}
	chosen := cmp.Or(string(asked), string(trade.Likely))
	if asked.Of100() != "" {
		chosen = notExceeded
	}
	body.Back = "/trims?" + c.View.Query()
	body.Label, body.Now, body.Value = "cost that the price rests on", "the "+now.Words(), string(asked)
	body.Field = frame.Field{Name: "value", Label: "The price rests on the",
		Hint: "Numbers that are ranges are drawn many times; often the likely cost is exceeded in most of the draws."}
	body.Field.Offer([]frame.Option{{Value: string(trade.Likely), Label: trade.Likely.Words()}, {Value: string(trade.Average), Label: trade.Average.Words()},
		{Value: notExceeded, Label: "cost not exceeded in so many of 100 draws"}}, chosen)
	body.Of = &frame.Field{Name: "of", Label: "Of 100 draws", Value: c.Typed("of", cmp.Or(asked.Of100(), "80")), Mode: "numeric", Hint: "1 to 99, for the last choice."}
}

// drawnIn are the channels in which draws are behind the price of a variant before or
// after a change.
func drawnIn(before, after answer.VariantPrices) map[bom.ID]bool {
	out := map[bom.ID]bool{}
	for _, ch := range slices.Concat(before.Channels, after.Channels) {
		out[ch.Channel] = out[ch.Channel] || ch.RestsOn.Drawn()
	}
	return out
}

// costBehind is the full cost that a price rests on.
func costBehind(v answer.VariantPrices, ch answer.ChannelPrices) answer.Figure {
	if ch.RestsOn.Drawn() {
		return ch.RestsOnCost
	}
	return v.Full
}

// basisNotes say what prices rest on before and after a change, in those channels.
func basisNotes(before, after answer.VariantPrices, drawn map[bom.ID]bool) []string {
	var out []string
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
