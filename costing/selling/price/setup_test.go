package price_test

import (
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
	t    *testing.T
	g    *graph.Graph
	full graph.ID
	f    price.Figures
}

func build(t *testing.T, c trade.Channel, p trade.Price) *offer {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	euro := graph.Currency("EUR")
	o := &offer{t: t, full: root.Input("full", "full cost", euro.Per(graph.Piece), fractiontest.Dec("1"))}
	cent := root.Fixed("cent", "cent", euro, fractiontest.Dec("0.01"), "ISO 4217")
	o.f = price.Build(root.In("price"), p, price.NewChannel(root.In("channel"), c, "EUR", cent), o.full)
	var err error
	if o.g, err = b.Build(); err != nil {
		t.Fatal(err)
	}
	return o
}

// at evaluates for a full cost, with other figures pinned.
func (o *offer) at(full string, pins exact.Pins) *exact.Values {
	o.t.Helper()
	held := exact.Pins{o.full: fractiontest.Dec(full)}
	for id, d := range pins {
		held[id] = d
	}
	v, err := exact.Evaluate(o.g, held)
	if err != nil {
		o.t.Fatal(err)
	}
	return v
}

func (o *offer) rat(v *exact.Values, id graph.ID) *big.Rat {
	o.t.Helper()
	d, err := v.Get(id)
	if err != nil {
		o.t.Fatal(err)
	}
	return d.Rat()
}

func (o *offer) id(key string) graph.ID {
	o.t.Helper()
	id, ok := o.g.Find(key)
	if !ok {
		o.t.Fatalf("there is no figure %s", key)
	}
	return id
}

// want compares a figure with a fraction to 25 digits.
func (o *offer) want(v *exact.Values, what string, id graph.ID, expected *big.Rat) {
	o.t.Helper()
	got, err := v.Get(id)
	if err != nil {
		o.t.Errorf("%s: %v", what, err)
		return
	}
	diff := fractiontest.Minus(got.Rat(), expected)
	if bound := fractiontest.Times(fractiontest.Plus(fractiontest.Rat("1"), new(big.Rat).Abs(expected)), fractiontest.Rat("0.0000000000000000000000001")); diff.Abs(diff).Cmp(bound) > 0 {
		o.t.Errorf("%s is %s, want %s", what, got, expected.FloatString(25))
	}
}
