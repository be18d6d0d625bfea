package price_test

import (
	"testing"

	"github.com/shopspring/decimal"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/price"
)

// TestWhatIsTakenOffIsWhatIsNotKept: the amounts a channel takes off a sale are what
// its proceeds are less than the net price, and a list price made for a net price
// brings that net price in.
func TestWhatIsTakenOffIsWhatIsNotKept(t *testing.T) {
	t.Parallel()
	d := draw{ft.Drawn(1, 52)}
	for range 200 {
		def := d.channel()
		b := graph.NewBuilder(graph.Limits{})
		root := b.Root().From(graph.Source{Where: "test"})
		perPiece := graph.Currency("EUR").Per(graph.Piece)
		c := price.NewChannel(root.In("channel"), def, "EUR", root.Fixed("cent", "cent", graph.Currency("EUR"), decimal.New(1, -2), "ISO 4217"))
		wanted := root.Input("wanted", "net price wanted", perPiece, decimal.New(1000+d.Int64N(90000), -2))
		f, p, k := root.In("forward"), root.In("back"), root.In("taken")
		gross := c.Gross(f, c.ShelfNet(f, c.ListPrice(f, c.WithFee(f, wanted))))
		net := c.WithoutTax(p, gross)
		kept := c.Proceeds(p, gross, net)
		taken := c.TakenOff(k, price.Sale{Gross: gross, Net: net, Fixed: func(id graph.ID) graph.ID { return id },
			Round: func(name, label string, x graph.ID) graph.ID { return root.In("taken").Add(name, label, x) }})
		left := k.Sum("back-to-net", "what is kept and what is taken off", kept, taken.Reseller, taken.Discounts, taken.Fees)
		figures := ft.Of(t, b)
		v := figures.At(nil)
		for _, pair := range [][2]graph.ID{{left, net}, {kept, wanted}} {
			x, y := figures.Get(v, pair[0]), figures.Get(v, pair[1])
			if !x.Sub(y).Abs().LessThan(decimal.New(1, -25)) {
				t.Fatalf("%+v: %s is %s, want %s", def, figures.Graph.Node(pair[0]).Key, x, y)
			}
		}
	}
}
