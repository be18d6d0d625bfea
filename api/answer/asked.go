package answer

import (
	"context"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// AskedPrice is what is asked for a piece of a trim in a channel. Nothing in it tells what the
// piece costs.
type AskedPrice struct {
	Trim       string `json:"trim"`
	Name       string `json:"name"`
	Quantity   string `json:"quantity" doc:"Made at once"`
	Channel    bom.ID `json:"channel"`
	Price      string `json:"price_asked,omitempty" doc:"With tax where the channel asks it so; absent where something is missing in the book"`
	WithoutTax string `json:"price_without_tax,omitempty"`
	Currency   string `json:"currency"`
}

// AskedPrices lists the prices asked of all trims, each in the usual batch of its product or in
// the quantity given.
func (o Origin) AskedPrices(ctx context.Context, day bom.Date, quantity *bom.Number) ([]AskedPrice, error) {
	out := []AskedPrice{}
	if len(o.Book.Products) == 0 {
		return out, nil
	}
	for _, req := range UsualBatches(o.Book) {
		req.Day = day
		if quantity != nil {
			req.Quantities = []decimal.Decimal{quantity.Likely}
		}
		list, err := o.Price(ctx, req)
		if err != nil {
			return nil, err
		}
		for _, e := range list.Estimates {
			for _, v := range e.Variants {
				for _, ch := range v.Channels {
					out = append(out, AskedPrice{v.Trim, v.Name, v.Quantity.Value, ch.Channel, ch.Shelf.Value, ch.ShelfNet.Value, string(o.Book.Currency)})
				}
			}
		}
	}
	return out, nil
}
