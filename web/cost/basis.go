package cost

import (
	"kerfbook/costing/trade"
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
