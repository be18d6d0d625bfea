package price_test

import (
	"maps"
	"math/big"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// without is what is left of an amount after a share of it is taken off.
func without(amount, share *big.Rat) *big.Rat {
	return ft.Minus(amount, ft.Times(amount, share))
}

// till follows the money of one sale at a gross price, step by step, to what
// stays with the shop.
func till(c trade.Channel, gross *big.Rat) *big.Rat {
	net := ft.Over(gross, ft.Plus(ft.Rat("1"), ft.Typed(c.Tax)))
	for _, share := range []*big.Rat{ft.Typed(c.PaymentShare), ft.Typed(c.MarketShare)} {
		fee := ft.Times(gross, share)
		net = ft.Minus(net, ft.Plus(fee, ft.Times(fee, ft.Typed(c.FeeTaxCost))))
	}
	trade := without(net, ft.Typed(c.ResellerMargin))
	invoice := without(trade, ft.Typed(c.CustomerDiscount))
	paid := ft.Minus(ft.Minus(invoice, ft.Times(invoice, ft.Typed(c.CashDiscount))), ft.Times(invoice, ft.Typed(c.Commission)))
	fee := ft.Typed(c.PaymentFixed) // once, whatever the discounts
	return ft.Minus(paid, ft.Plus(fee, ft.Times(fee, ft.Typed(c.FeeTaxCost))))
}

// costs is full cost and what the channel puts on each piece.
func costs(c trade.Channel, full *big.Rat) *big.Rat {
	for _, n := range []*bom.Number{c.Returns, c.Warranty, c.Carriage} {
		full = ft.Plus(full, ft.Typed(n))
	}
	return full
}

// offer is one price as a graph, with the full cost left open.
type offer struct {
	ft.Figures
	full graph.ID
	f    price.Figures
}

func build(t *testing.T, c trade.Channel, p trade.Price) *offer {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	euro := graph.Currency("EUR")
	o := &offer{full: root.Input("full", "full cost", euro.Per(graph.Piece), ft.Dec("1"))}
	cent := root.Fixed("cent", "cent", euro, ft.Dec("0.01"), "ISO 4217")
	o.f = price.Build(root.In("price"), p, price.NewChannel(root.In("channel"), c, "EUR", cent), o.full, graph.Draws{Count: 4096, Seed: 1})
	o.Figures = ft.Of(t, b)
	return o
}

// at evaluates for a full cost, with other figures pinned.
func (o *offer) at(full string, pins exact.Pins) *exact.Values {
	o.T.Helper()
	held := exact.Pins{o.full: ft.Dec(full)}
	maps.Copy(held, pins)
	return o.At(held)
}

func (o *offer) rat(v *exact.Values, id graph.ID) *big.Rat {
	o.T.Helper()
	return o.Get(v, id).Rat()
}
