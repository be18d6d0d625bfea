package book

import (
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/strict"
	"kerfbook/costing/rates"
)

func (c *checker) prices() {
	type subject struct{ product, trim, channel bom.ID }
	seen := map[subject]int{}
	for i := range c.book.Prices {
		p := &c.book.Prices[i]
		path := strict.Index("prices", i)
		c.refer(path+".channel", p.Channel, "channel", c.known.channels)
		c.soldTrim(path, p)
		c.priceForm(path, p)
		key := subject{p.Product, p.Trim, p.Channel}
		if first, twice := seen[key]; twice {
			c.fail(path, "this is priced twice in channel %s; %s", p.Channel, c.firstUse(strict.Index("prices", first)))
		} else {
			seen[key] = i
		}
	}
}

// soldTrim checks the product and the trim of a price.
func (c *checker) soldTrim(path string, p *rates.Price) {
	if !c.refer(path+".product", p.Product, "product", c.known.products) || p.Trim == "" {
		return
	}
	trims := c.book.Products[c.known.products[p.Product]].Trims
	index := map[bom.ID]int{}
	for i, t := range trims {
		index[t.ID] = i
	}
	c.refer(path+".trim", p.Trim, "trim", index)
}

// priceForm wants exactly one way of pricing.
func (c *checker) priceForm(path string, p *rates.Price) {
	ways := []dimension{{"margin", p.Margin}, {"markup", p.Markup}, {"list_price", p.ListPrice}, {"shelf_price", p.ShelfPrice}}
	var given []string
	for _, w := range ways {
		if w.value != nil {
			given = append(given, w.field)
		}
	}
	switch {
	case len(given) == 0:
		c.fail(path, "give one of margin, markup, list_price and shelf_price")
	case len(given) > 1:
		c.fail(path, "give only one of %s", strings.Join(given, ", "))
	}
}
