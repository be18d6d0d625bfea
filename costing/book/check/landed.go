package check

import (
	"kerfbook/bom"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

// destinations checks what each destination refers to.
func (c *checker) destinations() {
	for i := range c.book.Destinations {
		d, path := &c.book.Destinations[i], text.Index("destinations", i)
		c.refer(path+".channel", d.Channel, "channels")
		c.refer(path+".carrier", d.Carrier, "carriers")
		for j, p := range d.Delivered {
			c.soldTrim(text.Index(path+".delivered_prices", j), p.Product, p.Trim)
		}
	}
}

// baskets checks the lines of each basket and where it is sent.
func (c *checker) baskets() {
	list := c.book.Baskets
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
			c.refer(text.Index(entry("baskets", i, "destinations"), j), bom.ID(place), "destinations")
		}
	}
}

// carriers checks the price tables of carriers, whether or not a destination uses
// them.
func (c *checker) carriers() {
	for i := range c.book.Carriers {
		carrier := &c.book.Carriers[i]
		for j, zone := range carrier.Zones {
			c.bands(entry("carriers", i, text.Index("zones", j)+".bands"), zone.Bands)
		}
		for j, clearance := range carrier.Clearance {
			c.tiers(entry("carriers", i, text.Index("clearance", j)+".tiers"), clearance.Tiers)
		}
	}
}

func (c *checker) bands(path string, list []trade.MassBand) {
	for i := 1; i < len(list); i++ {
		if a, b := &list[i-1].UpTo, &list[i].UpTo; entered(a, b) && !less(a, b) {
			c.fail(entry(path, i, "up_to"), "%s does not come after %s; the bands of a zone must rise", list[i].UpTo.Likely, list[i-1].UpTo.Likely)
		}
	}
}

// tiers may leave the upper end of the last one open.
func (c *checker) tiers(path string, list []trade.ClearanceTier) {
	for i := 1; i < len(list); i++ {
		if list[i-1].UpTo == nil || list[i].UpTo != nil && !less(list[i-1].UpTo, list[i].UpTo) {
			c.fail(entry(path, i, "up_to"), "the tiers of clearance must rise; only the last may have no end")
		}
	}
}
