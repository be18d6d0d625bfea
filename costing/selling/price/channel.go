package price

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// Channel is a channel as figures; None where the book gives no number.
type Channel struct {
	Def                         trade.Channel
	Returns, Warranty, Carriage graph.ID // money/piece
	Point                       Point    // in money

	cashDiscount, commission graph.ID // shares
	customerDiscount         graph.ID
	resellerMargin           graph.ID
	paymentShare, market     graph.ID
	paymentFixed             graph.ID // money/piece, with tax that stays a cost
	feeTaxCost               graph.ID // share of tax on the fees that stays a cost
	tax                      graph.ID // share on the net price at home

	takenOff, afterCustomer graph.ID // shares left after discounts
	takenOffDivisor         graph.ID // takenOff as a divisor
	fees, factor            graph.ID // fees, and what is left, as shares of the gross price
}

// NewChannel writes the figures of a channel in the scope channel/ID. minor is the
// smallest unit of the currency the channel is priced in.
func NewChannel(s graph.Scope, def trade.Channel, currency string, minor graph.ID) Channel {
	money := graph.Currency(currency)
	share := func(name, label string, n *bom.Number, path string) graph.ID {
		return s.Optional(name, label, graph.Plain, n, path)
	}
	c := Channel{
		Def:              def,
		cashDiscount:     share("cash-discount", "cash discount", def.CashDiscount, "cash_discount"),
		commission:       share("commission", "commission", def.Commission, "commission"),
		customerDiscount: share("customer-discount", "customer discount", def.CustomerDiscount, "customer_discount"),
		resellerMargin:   share("reseller-margin", "margin of the reseller", def.ResellerMargin, "reseller_margin"),
		paymentShare:     share("payment-share", "payment fee as a share of the gross price", def.PaymentShare, "payment_share"),
		market:           share("market-share", "market fee as a share of the gross price", def.MarketShare, "market_share"),
		feeTaxCost:       share("fee-tax-cost", "tax on fees that is not reclaimed", def.FeeTaxCost, "fee_tax_cost"),
		tax:              s.Shared("tax", "tax in shelf prices at home", graph.Plain, bom.Needed(def.Tax), "tax"),
		paymentFixed:     s.Optional("payment-fixed", "payment fee per sale", money.Per(graph.Piece), def.PaymentFixed, "payment_fixed"),
		Returns:          s.Optional("returns", "allowance for returns", money.Per(graph.Piece), def.Returns, "returns_per_piece"),
		Warranty:         s.Optional("warranty", "allowance for warranty", money.Per(graph.Piece), def.Warranty, "warranty_per_piece"),
		Carriage:         s.Optional("carriage", "carriage borne by the seller", money.Per(graph.Piece), def.Carriage, "carriage_per_piece"),
		Point:            NewPoint(s, money, def.PricePoint, minor),
	}
	return c.withFactors(s)
}

// NoChannel takes nothing off a price, and adds no tax to it.
func NoChannel(s graph.Scope, currency string, minor graph.ID) Channel {
	const none = graph.None
	c := Channel{Returns: none, Warranty: none, Carriage: none, cashDiscount: none, commission: none, customerDiscount: none, resellerMargin: none,
		paymentShare: none, market: none, paymentFixed: none, feeTaxCost: none, tax: none, Point: NewPoint(s, graph.Currency(currency), nil, minor)}
	return c.withFactors(s)
}

// withFactors writes what does not depend on the product: the shares of a price
// that remain after discounts, and the divisor of P3.
func (c Channel) withFactors(s graph.Scope) Channel {
	one := s.One(graph.Plain)
	c.takenOff, c.afterCustomer, c.fees, c.factor = graph.None, graph.None, graph.None, graph.None
	c.takenOffDivisor = graph.None
	if off := s.By("P2").Total("target-discounts", "cash discount and commission", c.cashDiscount, c.commission); off != graph.None {
		c.takenOff = s.By("P2").Subtract("after-target-discounts", "share left after cash discount and commission", one, off)
		c.takenOffDivisor = positive(s.By("P2"), "after-target-discounts", "cash discount and commission leave something of the price", c.takenOff)
	}
	c.afterCustomer = s.By("P2").Subtract("after-customer-discount", "share left after customer discount", one, c.customerDiscount)
	return c.withGrossFactor(s.By("P3"))
}

// withGrossFactor writes 1 ÷ (1 + v) − (p + k) × (1 + tax on fees that is not
// reclaimed), the share of a gross price that is left after tax and fees.
func (c Channel) withGrossFactor(s graph.Scope) Channel {
	one := s.One(graph.Plain)
	left := one
	left = graph.Or(s.Divide("net-share", "share of a gross price without tax", one, s.Add("tax-factor", "1 + tax", one, c.tax)), left)
	fees := s.Total("fee-shares", "fees as shares of the gross price", c.paymentShare, c.market)
	fees = c.withFeeTax(s, "fee-shares-cost", "fees as shares of the gross price, with tax that stays a cost", fees)
	c.paymentFixed = c.withFeeTax(s, "payment-fixed-cost", "payment fee per sale, with tax that stays a cost", c.paymentFixed)
	c.fees = fees
	if fees != graph.None {
		left = s.Subtract("gross-factor", "share of a gross price left after tax and fees", left, fees)
		left = positive(s, "gross-factor", "tax and fees leave something of the price", left)
	}
	if left != one {
		c.factor = left
	}
	return c
}

// positive checks that a share that prices are divided by is above zero, and
// gives it as a divisor. Where nothing is left no price reaches the target: the
// divisor is then zero, so that the price has no value instead of one below zero.
func positive(s graph.Scope, name, label string, share graph.ID) graph.ID {
	zero := s.Zero(graph.Plain)
	s.Check(name+"-positive", label, share, graph.Greater, zero)
	return s.Maximum(name+"-divisor", s.Label(share)+", or nothing", share, zero)
}

func (c Channel) withFeeTax(s graph.Scope, name, label string, fee graph.ID) graph.ID {
	if fee == graph.None || c.feeTaxCost == graph.None {
		return fee
	}
	factor := s.Add("fee-tax-factor", "1 + tax on fees that is not reclaimed", s.One(graph.Plain), c.feeTaxCost)
	return s.Multiply(name, label, fee, factor)
}

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
