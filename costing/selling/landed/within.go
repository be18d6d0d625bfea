package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/trade"
)

// settleWithin writes both ways of selling within one customs territory, where
// there is no customs value, no duty and no clearance: only the tax of the home
// country, or the rule for distance sales. (L7, L9)
func (w *work) settleWithin(f *Figures, g goods, d delivery) {
	tax, rate := w.withinTax(g, d)
	none := outcome{value: graph.None, duty: graph.None, charges: graph.None, base: graph.None, clearance: graph.None,
		tax: tax, atSeller: tax, atDoor: graph.None}
	f.BuyerClears = w.settleBuyerClears(g, d, none, graph.None)

	s := w.s.In("all-paid").By("L9")
	price := w.allPaidPrice(s, f.BuyerClears.Total)
	// A choice too: the same year's sales decide forward and backward.
	net := w.withoutTax(s, price, rate)
	contained := w.round(s, "tax", "tax in the price", s.Subtract("tax-unrounded", "tax in the price before rounding", price, net))
	out := Settlement{Regime: graph.None, Price: price, Duty: graph.None, Charges: graph.None, Tax: contained,
		Clearance: graph.None, Door: graph.None, Collected: graph.None, Total: s.Add("total", "landed price, all paid", price)}
	f.AllPaid = w.seller(s, out, d, w.goodsIn(s, net, d), contained)
	w.keepsMargin(s, f.AllPaid)
}

// withinTax is the tax the seller collects and its combined rate on the net
// amount.
func (w *work) withinTax(g goods, d delivery) (tax, rate graph.ID) {
	if w.distance != nil && w.distance.Value.Tax == trade.NoTax {
		w.from(w.distance.Provenance)
		return w.s.By("L7").Add("tax", "no tax: the buyer accounts for it", w.s.Zero(w.money)), graph.None
	}
	// A seller who is registered there has chosen the tax of the destination, whatever
	// the year's sales.
	if w.distance == nil || w.distance.Value.Limit == nil || w.ctx.Destination.Registered {
		return w.sellerTax(w.s, w.taxes, g, d, graph.None, w.consignment.TaxByRate), w.combinedRate("tax-rate", w.taxes)
	}
	return w.taxByYear(g, d)
}

// taxByYear takes the origin's tax while the year's distance sales with this one
// stay within the limit, and the destination's from the sale that crosses it.
func (w *work) taxByYear(g goods, d delivery) (tax, rate graph.ID) {
	s := w.s.By("L7")
	sales, limit := w.yearSales(s, g, d)
	origin := w.sellerTax(w.s.In("origin"), w.originTaxes, g, d, graph.None, w.consignment.TaxByRate)
	there := w.sellerTax(w.s.In("there"), w.taxes, g, d, graph.None, w.consignment.TaxByRate)
	tax = s.Choose("tax", "tax of the origin up to the yearly limit, of the destination above", sales, graph.LessOrEqual, limit, origin, there)
	rate = s.Choose("tax-rate", "tax rate by the year's distance sales", sales, graph.LessOrEqual, limit,
		w.combinedRate("tax-rate-origin", w.originTaxes), w.combinedRate("tax-rate-there", w.taxes))
	return tax, rate
}

// yearSales are the distance sales of the year with this one, and their limit,
// in the currency of the rule.
func (w *work) yearSales(s graph.Scope, g goods, d delivery) (sales, limit graph.ID) {
	v, home := w.distance.Value, w.ctx.Currency
	rs := w.root.In("distance-sales", string(v.Territory)).From(w.from(w.distance.Provenance))
	limit = rs.Shared("yearly-limit", "yearly limit of distance sales", graph.Currency(string(v.Currency)), *v.Limit, "yearly_limit")
	ds := w.place()
	// Without tax, and with this sale: the switch happens at the sale that crosses the
	// limit (source `spanish-vat-handbook`).
	before := ds.Optional("sales-to-date", "distance sales of the year so far", w.home, w.ctx.Destination.SalesToDate, "sales_to_date")
	sum := s.Total("year-sales-book", "distance sales of the year with this one", before, g.book, d.chargedBook)
	exact := w.rates.Convert(s, "year-sales-unrounded", "distance sales of the year in the currency of the limit", sum, home, v.Currency, rates.ForSelling)
	return s.Round("year-sales", "distance sales of the year with this one, rounded", exact, exchange.SmallestUnit(w.root, v.Currency)), limit
}

// withoutTax takes tax out of a price that contains it. (L5)
func (w *work) withoutTax(s graph.Scope, price, rate graph.ID) graph.ID {
	if rate == graph.None {
		return s.Add("net", "price without tax", price)
	}
	return s.Divide("net", "price without tax", price, s.Add("tax-factor", "1 + tax rate", s.One(graph.Plain), rate))
}
