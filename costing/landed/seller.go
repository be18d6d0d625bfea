package landed

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// seller completes a settlement with what the seller keeps: what the buyer pays
// the seller, less what is owed on to others. goods is the price of the goods
// without tax, which a reseller's margin and discounts are taken off. (L10)
func (w *work) seller(s graph.Scope, out Settlement, d delivery, goods graph.ID, owed ...graph.ID) Settlement {
	out.AfterReclaim = graph.None
	if w.ctx.Destination.BuyerReclaims && out.Tax != graph.None {
		out.AfterReclaim = s.Subtract("after-reclaim", "landed price after the buyer's tax is reclaimed", out.Total, out.Tax)
	}
	out.Fees, out.Reseller = w.fees(s, out.Price), w.resellerMargin(s, goods)
	out.Discounts = w.discounts(s, goods, out.Reseller)
	lost := append(append([]graph.ID{}, owed...), d.cost, out.Fees, out.Reseller, out.Discounts)
	out.Kept = s.Subtract("kept", "kept by the seller", out.Price, w.total(s, "owed-on", "tax, duty, delivery, fees and discounts the seller bears", lost...))
	out.KeptBook = w.toBook(s, "kept-book", "kept by the seller, in the currency of the book", out.Kept)
	return w.profit(s, out)
}

// goodsIn is the part of an all-in price without tax that is left for the goods
// once delivery and what is owed at the border are paid from it.
func (w *work) goodsIn(s graph.Scope, net graph.ID, d delivery, dues ...graph.ID) graph.ID {
	return s.Subtract("goods", "price of the goods contained in the price", net,
		w.total(s, "beside-goods", "delivery and dues contained in the price", append(dues, d.cost)...))
}

// toBook brings an amount back into the currency of the book, at the selling
// rate it left it by.
func (w *work) toBook(s graph.Scope, name, label string, amount graph.ID) graph.ID {
	if r := w.rate(w.ctx.Currency, w.to, rates.ForSelling); r != graph.None {
		return s.Divide(name, label, amount, r)
	}
	return s.Add(name, label, amount)
}

// channelNumber writes a figure of the channel, or finds it where prices have
// written it.
func (w *work) channelNumber(name, label string, unit graph.Unit, n *bom.Number, path string) graph.ID {
	if w.ctx.Channel == nil {
		return graph.None
	}
	c := w.ctx.Channel
	s := w.root.In("channel", string(c.ID)).From(graph.Source{Where: "channel " + c.Name, Path: w.ctx.ChannelPath})
	return optional(s, name, label, unit, n, path)
}

// fees are the payment and market fees on the amount the buyer pays the seller:
// p·G + f + k·G, with the tax on them that is not reclaimed. (P3)
func (w *work) fees(s graph.Scope, gross graph.ID) graph.ID {
	s = s.By("P3")
	c := w.ctx.Channel
	if c == nil {
		return s.Add("fees", "no fees", s.Zero(w.money))
	}
	var parts []graph.ID
	if p := w.channelNumber("payment-share", "payment fee as a share of the gross price", graph.Plain, c.PaymentShare, "payment_share"); p != graph.None {
		parts = append(parts, s.Multiply("payment-fee", "payment fee on the gross price", gross, p))
	}
	if k := w.channelNumber("market-share", "market fee as a share of the gross price", graph.Plain, c.MarketShare, "market_share"); k != graph.None {
		parts = append(parts, s.Multiply("market-fee", "market fee on the gross price", gross, k))
	}
	if f := w.channelNumber("payment-fixed", "payment fee per sale", w.home.Per(graph.Piece), c.PaymentFixed, "payment_fixed"); f != graph.None {
		sale := s.Multiply("fixed-fee-book", "payment fee of one sale", f, s.One(graph.Piece))
		parts = append(parts, w.convert(s, "fixed-fee", "payment fee of one sale at the selling rate", sale, w.ctx.Currency, w.to, rates.ForSelling))
	}
	exact := w.total(s, "fees-unrounded", "payment and market fees before rounding", parts...)
	if t := w.channelNumber("fee-tax-cost", "tax on fees that is not reclaimed", graph.Plain, c.FeeTaxCost, "fee_tax_cost"); t != graph.None {
		exact = s.Add("fees-with-tax", "fees with tax that is not reclaimed", exact, s.Multiply("fee-tax", "tax on fees that is not reclaimed", exact, t))
	}
	return w.round(s, "fees", "payment and market fees", exact)
}

// resellerMargin is the share of the net price a reseller keeps; None without
// one.
func (w *work) resellerMargin(s graph.Scope, net graph.ID) graph.ID {
	if w.ctx.Channel == nil {
		return graph.None
	}
	m := w.channelNumber("reseller-margin", "margin of the reseller", graph.Plain, w.ctx.Channel.ResellerMargin, "reseller_margin")
	if m == graph.None {
		return graph.None
	}
	return w.round(s, "reseller", "margin of the reseller", s.Multiply("reseller-unrounded", "margin of the reseller before rounding", net, m))
}

// discounts are what the channel takes off the price after the reseller: customer
// discount, then cash discount and commission; None without any. (P2)
func (w *work) discounts(s graph.Scope, goods, reseller graph.ID) graph.ID {
	if w.ctx.Channel == nil {
		return graph.None
	}
	s, c, one := s.By("P2"), w.ctx.Channel, s.One(graph.Plain)
	customer := w.channelNumber("customer-discount", "customer discount", graph.Plain, c.CustomerDiscount, "customer_discount")
	later := s.Total("later-discounts", "cash discount and commission",
		w.channelNumber("cash-discount", "cash discount", graph.Plain, c.CashDiscount, "cash_discount"),
		w.channelNumber("commission", "commission", graph.Plain, c.Commission, "commission"))
	if customer == graph.None && later == graph.None {
		return graph.None
	}
	asked := goods
	if reseller != graph.None {
		asked = s.Subtract("trade", "price to the reseller", goods, reseller)
	}
	left := []graph.ID{asked}
	if customer != graph.None {
		left = append(left, s.Subtract("after-customer-discount", "share left after customer discount", one, customer))
	}
	if later != graph.None {
		left = append(left, s.Subtract("after-later-discounts", "share left after cash discount and commission", one, later))
	}
	exact := s.Subtract("discounts-unrounded", "discounts before rounding", asked, s.Multiply("paid", "price paid after discounts", left...))
	return w.round(s, "discounts", "discounts", exact)
}

// profit sets what is kept against full cost and the channel's allowances for
// returns and warranty, where every line has a cost. Carriage is no allowance
// here: the delivery itself has been paid. The margin on nothing is nothing.
func (w *work) profit(s graph.Scope, out Settlement) Settlement {
	out.Profit, out.Margin = graph.None, graph.None
	var costs []graph.ID
	for _, l := range w.consignment.Lines {
		if l.Cost == graph.None {
			return out
		}
		costs = append(costs, l.Cost, l.Quantity)
		for _, allowance := range w.allowances() {
			costs = append(costs, allowance, l.Quantity)
		}
	}
	cost := w.reuse(w.s, "cost", func() graph.ID {
		return w.s.SumProducts("cost", "full cost and allowances of the goods", costs...)
	})
	out.Profit = s.Subtract("profit", "kept by the seller less full cost and allowances", out.KeptBook, cost)
	ratio := s.Divide("margin-of-kept", "profit ÷ kept", out.Profit, out.KeptBook)
	out.Margin = s.Choose("margin", "margin: profit ÷ kept", out.KeptBook, graph.Greater, s.Zero(w.home), ratio, s.Zero(graph.Plain))
	return out
}

// allowances are the channel's allowances per piece.
func (w *work) allowances() []graph.ID {
	if w.ctx.Channel == nil {
		return nil
	}
	perPiece := w.home.Per(graph.Piece)
	var out []graph.ID
	for _, id := range []graph.ID{
		w.channelNumber("returns", "allowance for returns", perPiece, w.ctx.Channel.Returns, "returns_per_piece"),
		w.channelNumber("warranty", "allowance for warranty", perPiece, w.ctx.Channel.Warranty, "warranty_per_piece"),
	} {
		if id != graph.None {
			out = append(out, id)
		}
	}
	return out
}
