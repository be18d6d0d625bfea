package price_test

import (
	"maps"
	"math/big"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// without is what is left of an amount after a share of it is taken off.
func without(amount, share *big.Rat) *big.Rat {
	return fractiontest.Minus(amount, fractiontest.Times(amount, share))
}

// till follows the money of one sale at a gross price, step by step, to what
// stays with the shop.
func till(c trade.Channel, gross *big.Rat) *big.Rat {
	net := fractiontest.Over(gross, fractiontest.Plus(fractiontest.Rat("1"), fractiontest.Typed(c.Tax)))
	for _, share := range []*big.Rat{fractiontest.Typed(c.PaymentShare), fractiontest.Typed(c.MarketShare)} {
		fee := fractiontest.Times(gross, share)
		net = fractiontest.Minus(net, fractiontest.Plus(fee, fractiontest.Times(fee, fractiontest.Typed(c.FeeTaxCost))))
	}
	trade := without(net, fractiontest.Typed(c.ResellerMargin))
	invoice := without(trade, fractiontest.Typed(c.CustomerDiscount))
	paid := fractiontest.Minus(fractiontest.Minus(invoice, fractiontest.Times(invoice, fractiontest.Typed(c.CashDiscount))), fractiontest.Times(invoice, fractiontest.Typed(c.Commission)))
	fee := fractiontest.Typed(c.PaymentFixed) // once, whatever the discounts
	return fractiontest.Minus(paid, fractiontest.Plus(fee, fractiontest.Times(fee, fractiontest.Typed(c.FeeTaxCost))))
}

// costs is full cost and what the channel puts on each piece.
func costs(c trade.Channel, full *big.Rat) *big.Rat {
	for _, n := range []*bom.Number{c.Returns, c.Warranty, c.Carriage} {
		full = fractiontest.Plus(full, fractiontest.Typed(n))
	}
	return full
}

// offer is one price as a graph, with the full cost left open.
type offer struct {
	fractiontest.Figures
	full graph.ID
	f    price.Figures
}

func build(t *testing.T, c trade.Channel, p trade.Price) *offer {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	euro := graph.Currency("EUR")
	o := &offer{full: root.Input("full", "full cost", euro.Per(graph.Piece), fractiontest.Dec("1"))}
	cent := root.Fixed("cent", "cent", euro, fractiontest.Dec("0.01"), "ISO 4217")
	o.f = price.Build(root.In("price"), p, price.NewChannel(root.In("channel"), c, "EUR", cent), o.full)
	o.Figures = fractiontest.Of(t, b)
	return o
}

// at evaluates for a full cost, with other figures pinned.
func (o *offer) at(full string, pins exact.Pins) *exact.Values {
	o.T.Helper()
	held := exact.Pins{o.full: fractiontest.Dec(full)}
	maps.Copy(held, pins)
	return o.At(held)
}

func (o *offer) rat(v *exact.Values, id graph.ID) *big.Rat {
	o.T.Helper()
	return o.Get(v, id).Rat()
}
