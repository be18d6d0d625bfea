package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/trade"
)

// goods are the values of the goods of a consignment, line by line and in all.
type goods struct {
	lines  []graph.ID // price of a piece at the selling rate, rounded, × quantity
	sum    graph.ID
	book   graph.ID   // in book currency
	pieces []graph.ID // plain
}

// goods writes the price of the goods in the destination's currency, at the
// selling rate; the price of each piece is rounded as it would be on a price
// list.
func (w *work) goods() goods {
	g := goods{}
	var book []graph.ID
	rate := w.sellingRate()
	step := exchange.SmallestPrice(w.root, w.to)
	one := w.s.One(graph.Piece)
	for _, l := range w.consignment.Lines {
		s := w.s.In("line", l.Key)
		price := l.Price
		price = graph.Or(s.Multiply("price-unrounded", "price of one "+l.Name+" at the selling rate", l.Price, rate), price)
		// Before × quantity: a document shows unit prices, and its lines have to add up.
		unit := s.Round("price", "price of one "+l.Name+" without tax", price, step)
		g.lines = append(g.lines, w.lineGoods(s, l, unit))
		g.pieces = append(g.pieces, s.Divide("pieces", "number of "+l.Name, l.Quantity, one))
		book = append(book, l.Price, l.Quantity)
	}
	g.sum = w.s.Add("goods", "price of the goods without tax", g.lines...)
	g.book = w.s.SumProducts("goods-book", "price of the goods in the currency of the book", book...)
	return g
}

// lineGoods is the price of all pieces of a line.
func (w *work) lineGoods(s graph.Scope, l Line, unit graph.ID) graph.ID {
	if l.Net != nil {
		return s.Add("goods", "price of all "+l.Name+", as on the document", *l.Net)
	}
	return s.Multiply("goods", "price of all "+l.Name, unit, l.Quantity)
}

// declaration is the values customs looks at: the goods at the customs rate of
// exchange, and delivery as far as it is charged beside the price.
type declaration struct {
	lines  []graph.ID // goods of each line
	sum    graph.ID
	shares []graph.ID // of each line in the goods; nil for a lone line

	inland graph.ID // delivery behind the border; None without
	border graph.ID // delivery up to the border
	whole  graph.ID // both
}

// declare writes what is declared of a sale where the buyer clears: the invoice is in the
// currency of the book and goes at the customs rate. Delivery counts as charged
// to the buyer, since what is not charged is in the price already. (L5)
func (w *work) declare(g goods, d delivery) declaration {
	s := w.s.By("L5")
	rate := w.customsRate()
	out := declaration{inland: graph.None}
	for i, l := range w.consignment.Lines {
		value := g.lines[i]
		if rate != graph.None {
			// From the price in the book, not from the rounded one: customs converts the
			// invoice itself, at a rate it publishes, and never sees our selling rate.
			value = s.In("line", l.Key).Multiply("declared-goods", l.Name+" at the customs rate of exchange", l.Price, l.Quantity, rate)
		}
		out.lines = append(out.lines, value)
	}
	out.sum = s.Add("declared-goods", "goods at the customs rate of exchange", out.lines...)
	if len(out.lines) > 1 {
		for i, l := range w.consignment.Lines {
			out.shares = append(out.shares, s.In("line", l.Key).Divide("share-of-goods", "share of "+l.Name+" in the goods", out.lines[i], out.sum))
		}
	}
	if rate == graph.None {
		return w.splitDelivery(s, "declared-delivery", out, d.charged)
	}
	return w.splitDelivery(s, "declared-delivery", out,
		s.Multiply("declared-delivery", "delivery at the customs rate of exchange", d.chargedBook, rate))
}

// splitDelivery divides a delivery at the border.
func (w *work) splitDelivery(s graph.Scope, name string, d declaration, whole graph.ID) declaration {
	d.whole, d.border, d.inland = whole, whole, graph.None
	if n := w.ctx.Destination.InlandShare; n != nil {
		share := w.place().Shared("inland-share", "share of delivery behind the border", graph.Plain, *n, "inland_share")
		d.inland = s.Multiply(name+"-inland", "delivery behind the border", whole, share)
		d.border = s.Subtract(name+"-to-border", "delivery up to the border", whole, d.inland)
	}
	return d
}

// share gives the part of a line in an amount, by the value of the goods.
func (d declaration) share(s graph.Scope, name, label string, line int, amount graph.ID) graph.ID {
	if d.shares == nil {
		return amount
	}
	return s.Multiply(name, label, amount, d.shares[line])
}

// customsValues writes the customs value of each line where the buyer clears. (L5)
func (w *work) customsValues(d declaration) []graph.ID {
	var out []graph.ID
	for i, l := range w.consignment.Lines {
		s := w.s.By("L5").In("line", l.Key)
		if w.rule.Value.Basis == trade.FOB {
			out = append(out, s.Add("customs-value", "customs value of "+l.Name, d.lines[i]))
			continue
		}
		part := d.share(s, "delivery-to-border", "delivery to the border, part of "+l.Name, i, d.border)
		out = append(out, s.Add("customs-value", "customs value of "+l.Name, d.lines[i], part))
	}
	return out
}

// consumerPrice is what a consumer of the place pays a reseller for the goods: the
// shelf price with the tax a consumer bears. None where nobody sells them on.
func (w *work) consumerPrice() graph.ID {
	var net []graph.ID
	for _, l := range w.consignment.Lines {
		if l.Shelf == nil {
			return graph.None
		}
		net = append(net, *l.Shelf, l.Quantity)
	}
	s, d := w.s.In("consumer").By("L10"), w.ctx.Destination
	exact := w.toLocal(s, "shelf-price", "shelf price without tax at the selling rate", s.SumProducts("shelf-price-book", "shelf price without tax", net...))
	label := "what a consumer pays the reseller, without tax"
	if rate := w.combinedRate("consumer-tax-rate", w.ctx.Tables.TaxesOf(d.Country, d.Region, trade.Consumer, w.ctx.Day)); rate != graph.None {
		label = "what a consumer pays the reseller, with tax"
		exact = s.Multiply("with-tax", label+", before rounding", exact, s.Add("tax-factor", "1 + tax rate", s.One(graph.Plain), rate))
	}
	return w.round(s, "price", label, exact)
}
