package curve_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/curve"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
	"kerfbook/testdata/depth"
)

// sale builds a batch with a full cost per piece of fixed ÷ pieces + each, sold in
// a channel.
func sale(t testing.TB, c trade.Channel, p trade.Price, fixed, each string, batch int64) (*graph.Graph, curve.Sale) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().From(graph.Source{Where: "test"})
	out := curve.Sale{Pieces: s.Input("quantity", "quantity", graph.Piece, decimal.New(batch, 0))}
	out.Full = s.Add("full", "full cost", s.Divide("share", "share", s.Input("fixed", "fixed", euro, ft.Dec(fixed)), out.Pieces), perPiece(s, "each", each))
	cent := s.Fixed("cent", "cent", euro, ft.Dec("0.01"), "ISO 4217")
	f := price.Build(s.In("price"), p, price.NewChannel(s.In("channel"), c, "EUR", cent), out.Full, graph.Draws{})
	out.Wanted, out.List, out.Free, out.Shelf, out.Profit = f.Wanted, f.List, f.Free, f.Shelf, f.Profit
	g := graphtest.Built(t, b)
	return g, out
}

// keeps follows the money of one sale at a gross price to what stays with the
// shop after the allowances of a piece sold.
func keeps(c trade.Channel, gross *big.Rat) *big.Rat {
	one := rat(1)
	net := ft.Over(gross, ft.Plus(one, ft.Typed(c.Tax)))
	net = ft.Minus(net, ft.Times(gross, ft.Typed(c.PaymentShare)))
	net = ft.Times(net, ft.Minus(one, ft.Typed(c.CustomerDiscount)), ft.Minus(one, ft.Typed(c.CashDiscount)))
	net = ft.Minus(net, ft.Typed(c.PaymentFixed))
	return ft.Minus(net, ft.Plus(ft.Typed(c.Returns), ft.Typed(c.Warranty)))
}

func drawChannel(rnd *rand.Rand) trade.Channel {
	maybe := func(limit int64, places int32) *bom.Number {
		if rnd.IntN(2) == 0 {
			return nil
		}
		n := bom.Exactly(decimal.New(1+rnd.Int64N(limit), -places))
		return &n
	}
	c := trade.Channel{ID: "c", Tax: maybe(27, 2), PaymentShare: maybe(40, 3), CustomerDiscount: maybe(30, 2), CashDiscount: maybe(4, 2),
		PaymentFixed: maybe(60, 2), Returns: maybe(300, 2), Warranty: maybe(200, 2)}
	if rnd.IntN(2) == 0 {
		c.PricePoint = &trade.PricePoint{Step: *ft.Num("10"), Ending: ft.Num("9.90")}
	}
	return c
}

// TestPayBackAgainstCounting follows the money in fractions: at the price nothing
// is earned, and the pieces are counted one by one until the batch is paid.
func TestPayBackAgainstCounting(t *testing.T) {
	t.Parallel()
	for seed := range depth.Seeds(400) {
		rnd := rand.New(rand.NewPCG(seed, 6))
		c, batch := drawChannel(rnd), 1+rnd.Int64N(400)
		fixed, each := cents(rnd, 0, 4000), cents(rnd, 5, 150)
		wanted := []trade.Price{{Margin: ft.Num("0.36")}, {Markup: ft.Num("0.5")}, {ShelfPrice: ft.Num(cents(rnd, 20, 300))}, {ListPrice: ft.Num(cents(rnd, 20, 300))}}[seed%4]
		g, s := sale(t, c, wanted, fixed, each, batch)
		p, err := curve.PayBack(exact.New(g), s, nil)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		full := ft.Plus(ft.Over(ft.Rat(fixed), rat(batch)), ft.Rat(each))
		checkPrice(t, seed, c, wanted, full, p)

		v := graphtest.Evaluated(t, g)
		shelf, _ := v.Raw(s.Shelf)
		one, laid := keeps(c, shelf.Rat()), ft.Times(full, rat(batch))
		if one.Sign() <= 0 {
			if p.Sell != nil || p.Pays {
				t.Errorf("seed %d: %s pieces that bring nothing in pay the batch back", seed, p.Sell)
			}
			continue
		}
		sell := counted(laid, one)
		if p.Sell == nil || !p.Sell.Equal(decimal.New(sell, 0)) || p.Pays != (sell <= batch) {
			t.Errorf("seed %d: sell %v of %d (%t), counted %d", seed, p.Sell, batch, p.Pays, sell)
		}
	}
}

func checkPrice(t *testing.T, seed uint64, c trade.Channel, wanted trade.Price, full *big.Rat, p *curve.Payback) {
	t.Helper()
	if p.AtPoint == nil {
		t.Fatalf("seed %d: no price pays", seed)
	}
	at := p.AtPoint.Rat()
	if ft.Minus(keeps(c, at), full).Cmp(ft.Rat("-0.00000001")) < 0 { // the snap of a step of 10
		t.Errorf("seed %d: at %s a piece keeps %s of a cost of %s", seed, p.AtPoint, keeps(c, at).FloatString(6), full.FloatString(6))
	}
	if wanted.Margin == nil && wanted.Markup == nil {
		coin := ft.Rat("0.01")
		if wanted.ListPrice != nil {
			return // a coin less of the list price may be the same price point
		}
		if less := keeps(c, ft.Minus(at, coin)); p.Free != nil || less.Cmp(full) >= 0 {
			t.Errorf("seed %d: a coin less than %s would do", seed, p.AtPoint)
		}
		return
	}
	if diff := ft.Minus(keeps(c, p.Free.Rat()), full); !near(diff, rat(0)) {
		t.Errorf("seed %d: at %s a piece earns %s", seed, p.Free, diff.FloatString(30))
	}
	step := ft.Rat("0.01")
	if c.PricePoint != nil {
		step = ft.Rat("10")
	}
	if over := ft.Minus(at, p.Free.Rat()); over.Cmp(step) >= 0 || over.Cmp(ft.Rat("-0.00000001")) < 0 {
		t.Errorf("seed %d: price point %s for %s", seed, p.AtPoint, p.Free)
	}
}

// TestPublishedPayBack is OpenStax 3.2: price 100, variable 20, fixed 18,000. A
// batch of 225 pays back when all are sold, one of 224 does not, and the price at
// which 225 pieces pay is 100.
func TestPublishedPayBack(t *testing.T) {
	t.Parallel()
	for batch, pays := range map[int64]bool{224: false, 225: true, 300: true} {
		g, s := sale(t, trade.Channel{}, trade.Price{ShelfPrice: ft.Num("100")}, "18000", "20", batch)
		p, err := curve.PayBack(exact.New(g), s, nil)
		if err != nil || p.Pays != pays {
			t.Fatalf("%d: %+v %v", batch, p, err)
		}
		if batch == 225 && (!p.Sell.Equal(ft.Dec("225")) || !p.AtPoint.Equal(ft.Dec("100"))) {
			t.Errorf("sell %s, at %s", p.Sell, p.AtPoint)
		}
	}
}

// TestNoPricePays has fees that eat every price.
func TestNoPricePays(t *testing.T) {
	t.Parallel()
	c := trade.Channel{PaymentShare: ft.Num("0.6"), MarketShare: ft.Num("0.4")}
	for _, p := range []trade.Price{{Margin: ft.Num("0.2")}, {ShelfPrice: ft.Num("50")}} {
		g, s := sale(t, c, p, "100", "5", 20)
		got, err := curve.PayBack(exact.New(g), s, nil)
		if err != nil || got.AtPoint != nil || got.Free != nil || got.Sell != nil {
			t.Errorf("%+v %v", got, err)
		}
	}
}

// TestPayBackOfAnother holds the fixed cost at nothing.
func TestPayBackOfAnother(t *testing.T) {
	t.Parallel()
	g, s := sale(t, trade.Channel{}, trade.Price{Margin: ft.Num("0.2")}, "100", "5", 20)
	fixed, _ := g.Find("fixed")
	p, err := curve.PayBack(exact.New(g), s, exact.Pins{fixed: ft.Dec("0")})
	if err != nil || !p.AtPoint.Equal(ft.Dec("5")) || !p.Free.Equal(ft.Dec("5")) {
		t.Errorf("with no fixed cost: %+v %v", p, err)
	}
}
