package check

import (
	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// staleDays is the age from which a metal price is told to be old: clauses go by the
// price of the day or the mean of a month.
const staleDays = 31

// metalPrices checks that prices of a metal are dated once each, and that one that is
// used has a price on the day that is not old.
func (c *checker) metalPrices() {
	used := map[bom.ID]bool{}
	for _, o := range c.book.Offers {
		for _, m := range o.Metals {
			used[m.Metal] = true
		}
	}
	for i := range c.book.Processes {
		if m := c.book.Processes[i].Metal; m != nil {
			used[m.Metal] = true
		}
	}
	for i := range c.book.Materials {
		m, path := &c.book.Materials[i], text.Index("materials", i)
		if m.ReclaimMetal != "" {
			used[m.ReclaimMetal] = true
			c.refer(path+".reclaim_metal", m.ReclaimMetal, "metal_prices")
			c.refuse(path, "a material whose chips follow a metal price", dimension{"reclaim_per_kg", m.ReclaimPerKg})
		} else if m.ReclaimShare != nil {
			c.fail(path+".reclaim_share", "a share of a metal price needs reclaim_metal; add it or delete the share")
		}
	}
	for i := range c.book.MetalPrices {
		m, path := &c.book.MetalPrices[i], text.Index("metal_prices", i)
		for j, first := range repeats(m.Days, func(d rates.MetalDay) bom.Date { return d.From }) {
			c.fail(entry(path+".days", j, "from"), "two prices begin on %s; %s", m.Days[j].From.Words(), c.firstUse(entry(path+".days", first, "from")))
		}
		if c.day == "" || !used[m.ID] {
			continue
		}
		on := m.On(c.day)
		if on < 0 {
			c.gap(path+".days", "there is no price of %s on %s; add one", m.Name, c.day.Words())
		} else if age := m.Days[on].From.DaysUntil(c.day); age > staleDays {
			c.warn(entry(path+".days", on, "from"), "the price of %s is of %s, %d days ago; ask for today's and add it", m.Name, m.Days[on].From.Words(), age)
		}
	}
}

// metalParts checks what of an offer follows metal prices, and what is charged for cuts
// and by the order.
func (c *checker) metalParts(path string, o *rates.Offer) {
	part, isPart := c.known["parts"][o.For]
	for i := range o.Metals {
		m, at := &o.Metals[i], text.Index(path+".metals", i)
		c.refer(at+".metal", m.Metal, "metal_prices")
		switch {
		case m.Share != nil && m.MassG != nil:
			c.fail(at+".mass_g", "the metal is given by its share and by its mass; delete one")
		case m.MassG != nil && isPart && c.book.Parts[part].CountedIn == bom.Grams:
			c.fail(at+".mass_g", "%s is counted in g; enter the share of the metal instead", o.For)
		case m.MassG == nil && isPart && c.book.Parts[part].MassG == nil && c.book.Parts[part].CountedIn != bom.Grams:
			c.gap(at, "how much of %s is in %s is not known; enter mass_g here, or mass_g of the part", m.Metal, o.For)
		}
		if m.NeverBelow && m.BasePerKg == nil {
			c.fail(at+".never_below_base", "there is no base; add base_per_kg or delete it")
		}
	}
	for i := range repeats(o.Metals, func(m rates.MetalPart) bom.ID { return m.Metal }) {
		c.fail(entry(path+".metals", i, "metal"), "%s is listed twice; add up its shares on one line", o.Metals[i].Metal)
	}
	if isPart && o.CutCharge != nil {
		c.fail(path+".cut_charge", "a bought part is not cut to length; delete it, or make it stock that blanks are cut from")
	}
	for i := range repeats(o.OrderCharges, func(charge rates.OrderCharge) string { return bom.Slug(charge.Name) }) {
		c.fail(entry(path+".order_charges", i, "name"), "%s is charged twice; give each charge a name of its own", o.OrderCharges[i].Name)
	}
}
