package landed

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// seller completes a settlement with what the seller keeps: what the buyer pays
// the seller, less what is owed on to others. net is the price without tax that
// a reseller's margin and our own are taken of.
func (w *work) seller(s graph.Scope, out Settlement, g goods, d delivery, net graph.ID, owed ...graph.ID) Settlement {
	out.AfterReclaim = graph.None
	if w.ctx.Destination.BuyerReclaims && out.Tax != graph.None {
		out.AfterReclaim = s.Subtract("after-reclaim", "landed price after the buyer's tax is reclaimed", out.Total, out.Tax)
	}
	out.Fees, out.Reseller = w.fees(s, out.Price), w.resellerMargin(s, net)
	lost := append(append([]graph.ID{}, owed...), d.cost, out.Fees, out.Reseller)
	out.Kept = s.Subtract("kept", "kept by the seller", out.Price, w.total(s, "owed-on", "tax, duty, delivery and fees the seller pays", lost...))
	out.KeptBook = w.toBook(s, "kept-book", "kept by the seller, in the currency of the book", out.Kept)
	return w.profit(s, out, w.toBook(s, "net-book", "price without tax, in the currency of the book", net))
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

// profit sets what is kept against full cost, where every line has one. The
// margin on a price of nothing is nothing.
func (w *work) profit(s graph.Scope, out Settlement, net graph.ID) Settlement {
	out.Profit, out.Margin = graph.None, graph.None
	var costs []graph.ID
	for _, l := range w.consignment.Lines {
		if l.Cost == graph.None {
			return out
		}
		costs = append(costs, l.Cost, l.Quantity)
	}
	cost := w.reuse(w.s, "cost", func() graph.ID {
		return w.s.SumProducts("cost", "full cost of the goods", costs...)
	})
	out.Profit = s.Subtract("profit", "kept by the seller less full cost", out.KeptBook, cost)
	ratio := s.Divide("margin-of-net", "profit ÷ net price", out.Profit, net)
	out.Margin = s.Choose("margin", "margin: profit ÷ net price", net, graph.Greater, s.Zero(w.home), ratio, s.Zero(graph.Plain))
	return out
}
