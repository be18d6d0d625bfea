package price

import "kerfbook/costing/graph"

// WithFee puts the payment fee of the sale on a net price, which no discount makes
// smaller. (P3)
func (c Channel) WithFee(s graph.Scope, net graph.ID) graph.ID {
	return s.By("P3").Total("net-and-fee", "net price and payment fee per sale", net, c.paymentFixed)
}

// ListPrice puts the discounts on a net price with its fee, each as a share of the
// price it is taken off. (P2)
func (c Channel) ListPrice(s graph.Scope, price graph.ID) graph.ID {
	s = s.By("P2")
	if c.takenOff != graph.None {
		price = s.Divide("target-price", "price before cash discount and commission", price, c.takenOffDivisor)
	}
	price = graph.Or(s.Divide("list-price", "net list price", price, c.afterCustomer), price)
	return price
}

// ShelfNet puts the reseller's margin, a share of the net shelf price, on a list
// price. (P2)
func (c Channel) ShelfNet(s graph.Scope, list graph.ID) graph.ID {
	if c.resellerMargin == graph.None {
		return list
	}
	s = s.By("P2")
	return s.Divide("shelf-net-wanted", "net shelf price", list, c.afterReseller(s, "reseller-factor"))
}

// Gross is a net price with its fee ÷ the share left after tax and fees. (P3)
func (c Channel) Gross(s graph.Scope, net graph.ID) graph.ID {
	return graph.Or(s.By("P3").Divide("gross-wanted", "price with tax and fees", net, c.factor), net)
}
