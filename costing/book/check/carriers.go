package check

import (
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

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
