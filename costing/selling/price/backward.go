package price

import "kerfbook/costing/graph"

// WithoutTax takes the tax of the home country out of a gross price. (P3)
func (c Channel) WithoutTax(s graph.Scope, gross graph.ID) graph.ID {
	if c.tax == graph.None {
		return gross
	}
	s = s.By("P3")
	net := s.Divide("shelf-net", "price asked without tax", gross, s.Add("shelf-tax-factor", "1 + tax", s.One(graph.Plain), c.tax))
	s.Subtract("shelf-tax", "tax in the price asked", gross, net)
	return net
}

// Proceeds is what is left of the price of one piece, gross with tax and net
// without: less fees by share, the reseller's margin, discounts, and the payment
// fee of the sale. Fees by share so fall on the price after discounts, and the
// fixed fee is paid once whatever they are. (P2, P3)
func (c Channel) Proceeds(s graph.Scope, gross, net graph.ID) graph.ID {
	p3, kept := s.By("P3"), net
	if fees := c.feeByShare(p3, gross); fees != graph.None {
		p3.Sum("fees", "payment and market fees", fees, c.paymentFixed) // for display
		kept = p3.Subtract("after-fee-shares", "left after tax and fees by share", net, fees)
	}
	if c.resellerMargin != graph.None {
		kept = c.TradePrice(p3, "trade-factor", "trade-price", "price to the reseller", kept)
	}
	kept = c.discounted(s, "after-discounts", "left after discounts", kept)
	return graph.Or(p3.Subtract("after-fees", "left after all fees", kept, c.paymentFixed), kept)
}

// feeByShare is (p + k)·G with the tax on it that stays a cost; None without.
func (c Channel) feeByShare(s graph.Scope, gross graph.ID) graph.ID {
	return s.Multiply("fee-by-share", "fees by share of the price", gross, c.fees)
}

// discounted is what customer discount, cash discount and commission leave of a
// price; the price itself without any.
func (c Channel) discounted(s graph.Scope, name, label string, price graph.ID) graph.ID {
	left := []graph.ID{price}
	for _, share := range []graph.ID{c.afterCustomer, c.takenOff} {
		if share != graph.None {
			left = append(left, share)
		}
	}
	if len(left) == 1 {
		return price
	}
	return s.By("P2").Multiply(name, label, left...)
}

// Sale is a sale of any number of pieces in any currency.
type Sale struct {
	Gross graph.ID // what the buyer pays the seller, all taxes included
	Net   graph.ID // price of the goods without tax
	// Fixed brings the payment fee of one piece, in the currency of the book, into
	// the money of the sale.
	Fixed func(perPiece graph.ID) graph.ID
	Round func(name, label string, amount graph.ID) graph.ID
}

// Deductions is what a channel takes off a sale; None for what it does not take.
type Deductions struct{ Reseller, Discounts, Fees graph.ID }

// TakenOff writes the amounts by which [Channel.Proceeds] is less than the net
// price, each rounded. (P2, P3)
func (c Channel) TakenOff(s graph.Scope, sale Sale) Deductions {
	t := Deductions{graph.None, graph.None, graph.None}
	trade, paid := sale.Net, sale.Gross
	if c.resellerMargin != graph.None {
		t.Reseller = sale.Round("reseller", "margin of the reseller",
			s.Multiply("reseller-unrounded", "margin of the reseller before rounding", sale.Net, c.resellerMargin))
		trade = s.By("P2").Subtract("trade", "price to the reseller", sale.Net, t.Reseller)
		paid = c.TradePrice(s.By("P2"), "trade-factor", "paid-by-reseller", "what the reseller pays in all", sale.Gross)
	}
	if after := c.discounted(s, "paid", "price paid after discounts", trade); after != trade {
		exact := s.By("P2").Subtract("discounts-unrounded", "discounts before rounding", trade, after)
		t.Discounts = sale.Round("discounts", "discounts", exact)
	}
	paid = c.discounted(s, "paid-in-all", "what is paid in all after discounts", paid)
	t.Fees = c.feesOf(s.By("P3"), sale, paid)
	return t
}

func (c Channel) feesOf(s graph.Scope, sale Sale, paid graph.ID) graph.ID {
	share, fixed := c.feeByShare(s, paid), graph.None
	if c.paymentFixed != graph.None {
		fixed = sale.Fixed(c.paymentFixed)
	}
	exact := s.Sum("fees-unrounded", "payment and market fees before rounding", share, fixed)
	if exact == graph.None {
		return graph.None
	}
	return sale.Round("fees", "payment and market fees", exact)
}

// TradePrice is what a reseller pays where its buyer pays a price: 1 − its margin of
// that, of a channel that resells. (P2)
func (c Channel) TradePrice(s graph.Scope, factor, name, label string, price graph.ID) graph.ID {
	return s.Multiply(name, label, price, c.afterReseller(s, factor))
}

// afterReseller is the share of a price that the reseller's margin leaves.
func (c Channel) afterReseller(s graph.Scope, name string) graph.ID {
	return s.Subtract(name, "1 − margin of the reseller", s.One(graph.Plain), c.resellerMargin)
}

// Resells reports whether the channel sells to somebody who sells on.
func (c Channel) Resells() bool { return c.resellerMargin != graph.None }

// Invoiced is what the invoice to a reseller asks for one piece, without tax: the
// shelf price less its margin and the customer discount. (P2)
func (c Channel) Invoiced(s graph.Scope, shelfNet graph.ID) graph.ID {
	s = s.By("P2")
	parts := []graph.ID{shelfNet, c.afterReseller(s, "invoiced-factor")}
	if c.afterCustomer != graph.None {
		parts = append(parts, c.afterCustomer)
	}
	return s.Multiply("invoiced", "price on the invoice to the reseller", parts...)
}

// BehindInvoice is the channel with what is taken off an invoiced price.
func (c Channel) BehindInvoice() Channel {
	c.resellerMargin, c.afterCustomer = graph.None, graph.None
	return c
}
