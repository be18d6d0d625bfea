package purchase_test

import (
	"testing"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/purchase"
	"kerfbook/costing/rates"
)

// breaks reads pairs of quantity and price.
func breaks(texts ...string) []rates.PriceBreak {
	var out []rates.PriceBreak
	for i := 0; i < len(texts); i += 2 {
		out = append(out, rates.PriceBreak{From: *ft.Num(texts[i]), Price: *ft.Num(texts[i+1])})
	}
	return out
}

// counter is a need with its offers as a graph; the need is left open.
type counter struct {
	ft.Figures
	need    graph.ID
	order   purchase.Order
	charged graph.ID
}

// goods is what is needed: pieces of a part, or what it is counted in, or pieces of stock
// with mass and length.
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
	c := &counter{need: root.Input("need", "need", g.use, ft.Dec("1"))}
	need := purchase.Need{Quantity: c.need, MassKg: graph.None, LengthM: graph.None}
	if g.kg != "" {
		unit := graph.Kilogram
		if g.use != graph.Plain {
			unit = unit.Per(g.use)
		}
		need.MassKg = root.Input("kg", "mass", unit, ft.Dec(g.kg))
	}
	if g.m != "" {
		need.LengthM = root.Input("m", "length", graph.Metre, ft.Dec(g.m))
	}
	var list []purchase.Offer
	for _, o := range offers {
		rate := graph.None
		if o.Currency != "EUR" {
			unit := graph.Currency("EUR").Per(graph.Currency(string(o.Currency)))
			rate = root.Input("rate-"+string(o.Supplier), "exchange rate", unit, ft.Dec(g.change[string(o.Currency)]))
		}
		list = append(list, purchase.NewOffer(root.In("offer", string(o.Supplier)), graph.Source{Where: "offer"}, o, g.use, rate, metalAt(root, string(o.Currency))))
	}
	c.order = purchase.Build(root, need, list)
	if g.use != graph.Plain {
		c.charged = purchase.Part(root, c.order, c.need)
	}
	c.Figures = ft.Of(t, b)
	return c
}

func (c *counter) at(need string) *exact.Values {
	c.T.Helper()
	return c.At(exact.Pins{c.need: ft.Dec(need)})
}
