package papers

import (
	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// pricesBody is the price list.
type pricesBody struct {
	Quantity frame.Field
	Day      string
	Currency string
	Rows     []priceRow
}

// priceRow is a trim in a channel.
type priceRow struct {
	Name, Channel, Quantity string
	Price, WithoutTax       frame.Fig
}

// prices lists the prices asked, and nothing that tells what the goods cost.
func prices(c *frame.Call) error {
	body := pricesBody{Day: string(c.Site.Service.Today()), Currency: string(c.Book.Currency)}
	body.Quantity = frame.Field{Name: "quantity", Label: "Made at once", Suffix: "piece", Mode: "numeric", Value: c.R.Form.Get("quantity"), Hint: "Empty means the usual batch of the product."}
	var found frame.Problems
	var quantity *bom.Number
	if body.Quantity.Value != "" {
		if n, err := form.WholeNumber(c.Style, body.Quantity.Value); err != nil || n < 1 {
			found.Wrong(&body.Quantity, "a whole number of pieces, such as 100")
		} else {
			q := bom.Whole(int64(n))
			quantity = &q
		}
	}
	list, err := c.Site.Service.AskedPrices(c.R.Context(), quantity)
	if answer.CodeOf(err) == answer.NotFound {
		err = nil // there is no book yet
	}
	if err != nil {
		return err
	}
	channels := map[bom.ID]string{}
	for _, ch := range c.Book.Channels {
		channels[ch.ID] = ch.Name
	}
	money := func(label, value, currency string) frame.Fig {
		if value == "" {
			return frame.Fig{}
		}
		// How a price is made is not for everybody who reads this page, so it leads nowhere.
		return frame.Fig{Text: frame.Linker{}.Money(answer.Figure{Key: "price", Label: label, Value: value, Unit: currency}).Text}
	}
	for _, p := range list {
		body.Rows = append(body.Rows, priceRow{p.Name, channels[p.Channel], p.Quantity, money("price asked", p.Price, p.Currency), money("price without tax", p.WithoutTax, p.Currency)})
	}
	page := c.Page("prices", "Prices", &body)
	page.Problems = found
	return c.Show("prices", page)
}
