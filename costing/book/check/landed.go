package check

import (
	"kerfbook/bom"
	"kerfbook/costing/text"
)

// destinations checks what each destination refers to.
func (c *checker) destinations() {
	// A carrier may stand in the book several times, each with its dates.
	carriers := map[bom.ID]int{}
	for i := range c.book.Carriers {
		carriers[c.book.Carriers[i].ID] = i
	}
	list := c.book.Destinations
	c.unique("destinations", "country", ids(list, func(i int) bom.ID { return bom.ID(list[i].Place()) }))
	for i := range list {
		d := &list[i]
		path := text.Index("destinations", i)
		if d.Channel != "" {
			c.refer(path+".channel", d.Channel, "channel", c.known.channels)
		}
		if d.Carrier != "" {
			c.refer(path+".carrier", d.Carrier, "carrier", carriers)
		}
		for j, p := range d.Delivered {
			c.soldTrim(text.Index(path+".delivered_prices", j), p.Product, p.Trim)
		}
	}
}

// baskets checks the lines of each basket and where it is sent.
func (c *checker) baskets() {
	list := c.book.Baskets
	c.unique("baskets", "id", ids(list, func(i int) bom.ID { return list[i].ID }))
	places := map[bom.ID]int{}
	for i := range c.book.Destinations {
		places[bom.ID(c.book.Destinations[i].Place())] = i
	}
	trims := map[bom.ID]bool{}
	for _, p := range c.book.Products {
		for _, t := range p.Trims {
			trims[t.ID] = true
		}
	}
	for i := range list {
		if trims[list[i].ID] {
			c.fail(entry("baskets", i, "id"), "a trim is called %s too; give the basket another id", list[i].ID)
		}
		for j, line := range list[i].Lines {
			c.soldTrim(text.Index(entry("baskets", i, "lines"), j), line.Product, line.Trim)
		}
		for j, place := range list[i].Destinations {
			c.refer(text.Index(entry("baskets", i, "destinations"), j), bom.ID(place), "destination", places)
		}
	}
}
