package purchase_test

import (
	"math/big"
	"testing"

	"kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/purchase"
	"kerfbook/costing/rates"
)

// breaks reads pairs of quantity and price.
func breaks(texts ...string) []rates.PriceBreak {
	var out []rates.PriceBreak
	for i := 0; i < len(texts); i += 2 {
		out = append(out, rates.PriceBreak{From: *fractiontest.Num(texts[i]), Price: *fractiontest.Num(texts[i+1])})
	}
	return out
}

// cash is what an order of a quantity of purchase units costs in all, read off
// the offer line by line.
func cash(o rates.Offer, quantity *big.Rat) *big.Rat {
	price := o.Breaks[0].Price.Likely.Rat()
	for _, b := range o.Breaks {
		if quantity.Cmp(b.From.Likely.Rat()) >= 0 {
			price = b.Price.Likely.Rat()
		}
	}
	value := fractiontest.Times(quantity, price)
	if o.Inbound == nil {
		return value
	}
	extra := fractiontest.Plus(fractiontest.Typed(o.Inbound.Fixed), fractiontest.Times(quantity, fractiontest.Typed(o.Inbound.PerUnit)))
	return fractiontest.Plus(fractiontest.Plus(value, extra), fractiontest.Times(value, fractiontest.Typed(o.Inbound.Share)))
}

// bestOrder tries every quantity that may be ordered, from the smallest up: all
// multiples up to beyond the highest break, or, where there is no multiple, the
// quantities at which anything changes and a grid between them. A larger one must
// be cheaper to win.
func bestOrder(o rates.Offer, need, grid *big.Rat) (quantity, cost *big.Rat) {
	if need.Sign() == 0 {
		return new(big.Rat), new(big.Rat)
	}
	least := need
	if m := fractiontest.Typed(o.MOQ); m.Cmp(least) > 0 {
		least = m
	}
	for _, q := range candidates(o, least, grid) {
		if c := cash(o, q); cost == nil || c.Cmp(cost) < 0 || c.Cmp(cost) == 0 && q.Cmp(quantity) < 0 {
			quantity, cost = q, c
		}
	}
	return quantity, cost
}

func candidates(o rates.Offer, least, grid *big.Rat) (out []*big.Rat) {
	step, top := fractiontest.Typed(o.Multiple), o.Breaks[len(o.Breaks)-1].From.Likely.Rat()
	if step.Sign() > 0 {
		q := new(big.Rat)
		for q.Cmp(least) < 0 {
			q = fractiontest.Plus(q, step)
		}
		for ; len(out) == 0 || fractiontest.Minus(q, step).Cmp(top) <= 0; q = fractiontest.Plus(q, step) {
			out = append(out, q)
		}
		return out
	}
	for q := least; len(out) == 0 || q.Cmp(top) <= 0; q = fractiontest.Plus(q, grid) {
		out = append(out, q)
	}
	for _, b := range o.Breaks {
		if from := b.From.Likely.Rat(); from.Cmp(least) >= 0 {
			out = append(out, from)
		}
	}
	return out
}

// counter is a need with its offers as a graph; the need is left open.
type counter struct {
	fractiontest.Figures
	need    graph.ID
	order   purchase.Order
	charged graph.ID
}

// goods is what is needed: pieces of a part, or pieces of stock with mass and
// length.
type goods struct {
	use    graph.Unit
	kg, m  string            // of one piece of stock
	change map[string]string // by currency, in EUR
}

var part = goods{use: graph.Piece}

func (g goods) build(t *testing.T, offers ...rates.Offer) *counter {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	c := &counter{need: root.Input("need", "need", g.use, fractiontest.Dec("1"))}
	need := purchase.Need{Quantity: c.need, MassKg: graph.None, LengthM: graph.None}
	if g.kg != "" {
		need.MassKg = root.Input("kg", "mass", graph.Kilogram, fractiontest.Dec(g.kg))
		need.LengthM = root.Input("m", "length", graph.Metre, fractiontest.Dec(g.m))
	}
	var list []purchase.Offer
	for _, o := range offers {
		rate := graph.None
		if o.Currency != "EUR" {
			unit := graph.Currency("EUR").Per(graph.Currency(string(o.Currency)))
			rate = root.Input("rate-"+string(o.Supplier), "exchange rate", unit, fractiontest.Dec(g.change[string(o.Currency)]))
		}
		list = append(list, purchase.NewOffer(root.In("offer", string(o.Supplier)), graph.Source{Where: "offer"}, o, g.use, rate))
	}
	c.order = purchase.Build(root, need, list)
	if g.use == graph.Piece {
		c.charged = purchase.Part(root, c.order, c.need)
	}
	c.Figures = fractiontest.Of(t, b)
	return c
}

func (c *counter) at(need string) *exact.Values {
	c.T.Helper()
	return c.At(exact.Pins{c.need: fractiontest.Dec(need)})
}
