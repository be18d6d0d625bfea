package check

import (
	"maps"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// offers checks each offer and whether one still holds on the day.
func (c *checker) offers() {
	byTarget := map[bom.ID][]int{}
	var targets []bom.ID // in the order of the book
	for i := range c.book.Offers {
		o := &c.book.Offers[i]
		path := text.Index("offers", i)
		c.refer(path+".supplier", o.Supplier, "suppliers")
		c.offerTarget(path, o)
		c.pack(path, o)
		c.metalParts(path, o)
		c.breaks(path+".breaks", o.Breaks)
		if len(byTarget[o.For]) == 0 {
			targets = append(targets, o.For)
		}
		byTarget[o.For] = append(byTarget[o.For], i)
	}
	for _, target := range targets {
		c.expiredOffers(target, byTarget[target])
	}
	c.offersExist(byTarget)
}

// offerTarget checks what an offer is for and the unit it counts in.
func (c *checker) offerTarget(path string, o *rates.Offer) {
	part, isPart := c.known["parts"][o.For]
	stock, isStock := c.known["stocks"][o.For]
	switch {
	case isStock:
		if o.LeftoverValue != nil {
			c.warn(path+".leftover_value", "has no effect for stock; write it on the blank")
		}
		c.stockUnit(path, o, c.book.Stocks[stock].Form)
	case isPart:
		if kind := c.book.Parts[part].Kind; kind != bom.Bought {
			c.fail(path+".for", "part %s is of kind %s; only bought parts have offers", o.For, kind)
		}
		c.partUnit(path, o, &c.book.Parts[part])
	default:
		names := slices.AppendSeq(slices.Collect(maps.Keys(c.known["parts"])), maps.Keys(c.known["stocks"]))
		c.gap(path+".for", "there is no part or stock %s%s", o.For, nearest(o.For, names))
	}
}

// partUnit checks the unit of an offer against what the part is counted in.
func (c *checker) partUnit(path string, o *rates.Offer, p *bom.Part) {
	counted := "the piece"
	if !p.ByPiece() {
		counted = string(p.CountedIn)
	}
	units := []string{"pack with pack_content"}
	weighed := p.MassG != nil || p.CountedIn == bom.Grams
	if weighed {
		units = append(units, "kg")
	}
	can := o.Unit == rates.PerPack || o.Unit == rates.PerKilogram && weighed
	switch {
	case p.ByPiece():
		units = append(units, "piece or hundred")
		can = can || o.Unit == rates.PerPiece || o.Unit == rates.PerHundred
	case p.CountedIn == bom.Metres:
		units = append(units, "m")
		can = can || o.Unit == rates.PerMetre
	}
	if !can {
		also := ""
		if !weighed {
			also = ", or enter mass_g of the part to buy it by kg"
		}
		c.fail(path+".unit", "a part that is counted by %s is not bought by %s; use %s%s", counted, o.Unit, strings.Join(units, ", "), also)
	}
	if n := o.PackContent; n != nil && p.ByPiece() && !n.Likely.IsInteger() {
		c.fail(path+".pack_content", "%s must be a whole number, since part %s is counted by the piece", n.Likely, p.Number)
	}
}

// pack wants the content of a pack where, and only where, it is sold by the pack.
func (c *checker) pack(path string, o *rates.Offer) {
	switch {
	case o.Unit == rates.PerPack && o.PackContent == nil:
		c.gap(path, "an offer by the pack needs pack_content, how much is in one")
	case o.Unit != rates.PerPack && o.PackContent != nil:
		c.fail(path+".pack_content", "an offer by %s has no pack; delete it or make the unit pack", o.Unit)
	}
}

func (c *checker) stockUnit(path string, o *rates.Offer, form bom.StockForm) {
	switch {
	case o.Unit == rates.PerMetre && !form.Linear():
		c.fail(path+".unit", "a %s is not bought by the metre; use kg, sheet, piece, hundred or pack", form.Words())
	case o.Unit == rates.PerSheet && form != bom.Sheet && form != bom.Plate:
		c.fail(path+".unit", "a %s is not bought by the sheet; use kg, m, piece, hundred or pack", form.Words())
	}
}

func (c *checker) breaks(path string, list []rates.PriceBreak) {
	for i := 1; i < len(list); i++ {
		if a, b := &list[i-1].From, &list[i].From; entered(a, b) && !less(a, b) {
			c.fail(entry(path, i, "from"), "%s does not come after %s; quantities of price breaks must rise", list[i].From.Likely, list[i-1].From.Likely)
		}
	}
}

// expiredOffers reports the offers for one target that have run out, and whether
// they are still used.
func (c *checker) expiredOffers(target bom.ID, list []int) {
	valid := slices.ContainsFunc(list, func(i int) bool { return !c.expired(c.book.Offers[i].ValidUntil) })
	for _, i := range list {
		until := c.book.Offers[i].ValidUntil
		switch path := entry("offers", i, "valid_until"); {
		case !c.expired(until):
		case valid:
			c.warn(path, "the offer for %s ran out on %s; others are still valid", target, until.Words())
		default:
			c.warn(path, "the offer for %s ran out on %s and no other is valid on %s; the last one goes on being used: ask for a new one", target, until.Words(), c.day)
		}
	}
}

func (c *checker) expired(until bom.Date) bool {
	return c.day != "" && until != "" && until < c.day
}

// offersExist wants an offer for every bought part and every stock in use.
func (c *checker) offersExist(byTarget map[bom.ID][]int) {
	used := map[bom.ID]bool{}
	for i := range c.book.Parts {
		p := &c.book.Parts[i]
		if p.Kind == bom.Bought && len(byTarget[p.Number]) == 0 {
			c.gap(entry("parts", i, "number"), "the bought part %s has no offer; add one", p.Number)
		}
		if p.Blank != nil {
			used[p.Blank.Stock] = true
		}
	}
	for i := range c.book.Stocks {
		if id := c.book.Stocks[i].ID; used[id] && len(byTarget[id]) == 0 {
			c.gap(entry("stocks", i, "id"), "the stock %s is used by a blank and has no offer; add one", id)
		}
	}
}

// processes checks outside processes and whether those in use have expired.
func (c *checker) processes() {
	used := map[bom.ID]bool{}
	for _, o := range c.operations() {
		if o.Treatment != nil {
			used[o.Treatment.Process] = true
		}
	}
	for i := range c.book.Processes {
		p := &c.book.Processes[i]
		c.refer(entry("outside_processes", i, "supplier"), p.Supplier, "suppliers")
		switch path := entry("outside_processes", i, "valid_until"); {
		case !c.expired(p.ValidUntil):
		case used[p.ID]:
			c.warn(path, "the prices of %s ran out on %s and go on being used; ask for new ones", p.ID, p.ValidUntil.Words())
		default:
			c.warn(path, "the prices of %s ran out on %s; nothing uses them", p.ID, p.ValidUntil.Words())
		}
	}
}

// operations lists all operations of the book.
func (c *checker) operations() []bom.Operation {
	var all []bom.Operation
	for i := range c.book.Parts {
		all = append(all, c.book.Parts[i].Routing...)
	}
	for i := range c.book.Products {
		all = append(all, c.book.Products[i].Routing...)
	}
	return all
}
