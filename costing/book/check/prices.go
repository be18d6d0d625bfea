package check

import (
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

func (c *checker) prices() {
	for i := range c.book.Prices {
		p := &c.book.Prices[i]
		path := text.Index("prices", i)
		c.refer(path+".channel", p.Channel, "channels")
		c.soldTrim(path, p.Product, p.Trim)
		c.priceForm(path, p)
	}
	type subject struct{ product, trim, channel bom.ID }
	for i, first := range repeats(c.book.Prices, func(p trade.Price) subject { return subject{p.Product, p.Trim, p.Channel} }) {
		c.fail(text.Index("prices", i), "this is priced twice in channel %s; %s", c.book.Prices[i].Channel, c.firstUse(text.Index("prices", first)))
	}
	c.unpriced()
}

// unpriced says of what is sold in some channel, as far as the book says, that no price
// is asked for it.
func (c *checker) unpriced() {
	if len(c.book.Channels) == 0 {
		return
	}
	for i := range c.book.Products {
		p := &c.book.Products[i]
		if !slices.ContainsFunc(c.book.Prices, func(price trade.Price) bool { return price.Product == p.Number }) {
			c.warn(text.Index("products", i), "no price is asked for %s in any channel; enter one under prices", p.Number)
		}
	}
}

// soldTrim checks the product and the trim of a price or line; no trim means all.
func (c *checker) soldTrim(path string, product, trim bom.ID) {
	if !c.refer(path+".product", product, "products") || trim == "" {
		return
	}
	index := map[bom.ID]int{}
	for i, t := range c.book.Products[c.known["products"][product]].Trims {
		index[t.ID] = i
	}
	c.named(Gap, path+".trim", trim, "trim", index)
}

// priceForm wants exactly one way of pricing; beside an entered price, a margin
// asks what the price allows the goods to cost.
func (c *checker) priceForm(path string, p *trade.Price) {
	ways := []dimension{{"margin", p.Margin}, {"markup", p.Markup}, {"list_price", p.ListPrice}, {"shelf_price", p.ShelfPrice}}
	var given []string
	for _, w := range ways {
		if w.value != nil {
			given = append(given, w.field)
		}
	}
	entered := p.Entered()
	switch {
	case len(given) == 2 && entered && p.Margin != nil:
	case len(given) == 0:
		c.gap(path, "give one of margin, markup, list_price and shelf_price")
	case len(given) > 1:
		c.fail(path, "give only one of %s", strings.Join(given, ", "))
	}
	if entered && p.RestsOn != "" {
		c.fail(path+".rests_on", "an entered price rests on no cost; leave rests_on out, or price by margin or markup")
	}
}

// priceDraws wants as many draws as are made.
func (c *checker) priceDraws() {
	if c.book.PriceDraws%256 != 0 {
		c.fail("price_draws", "draws are made 256 at a time; give 4096 or another multiple of 256")
	}
}

// channels wants fees and price points that can be meant.
func (c *checker) channels() {
	for i := range c.book.Channels {
		ch := &c.book.Channels[i]
		path := text.Index("channels", i)
		for _, fee := range []dimension{{"payment_share", ch.PaymentShare}, {"payment_fixed", ch.PaymentFixed}, {"market_share", ch.MarketShare}} {
			if fee.value != nil && ch.ResellerMargin != nil {
				c.fail(path+"."+fee.field, "the reseller takes the money and bears this fee; leave it out beside reseller_margin")
			}
		}
		if pt := ch.PricePoint; pt != nil && pt.Ending != nil && !pt.Ending.Likely.LessThan(pt.Step.Likely) {
			c.fail(path+".price_point.ending", "the ending must be less than the step of %s", pt.Step.Likely)
		}
	}
}
