package price_test

import (
	"errors"
	"fmt"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/trade"
)

// draw makes random channels that leave something of the price.
type draw struct{ ft.Draw }

func (d draw) channel() trade.Channel {
	c := trade.Channel{ID: "c", CashDiscount: d.Maybe(5, 2), Commission: d.Maybe(15, 2), CustomerDiscount: d.Maybe(40, 2),
		ResellerMargin: d.Maybe(50, 2), PaymentShare: d.Maybe(40, 3), PaymentFixed: d.Maybe(60, 2), MarketShare: d.Maybe(18, 2),
		FeeTaxCost: d.Maybe(25, 2), Returns: d.Maybe(400, 2), Warranty: d.Maybe(300, 2), Carriage: d.Maybe(900, 2), Tax: d.Maybe(27, 2)}
	if d.IntN(3) > 0 {
		steps := []string{"10", "5", "1", "0.5", "0.05", "20"}
		endings := []string{"9.90", "4.95", "0.99", "0", "", "19"}
		c.PricePoint = &trade.PricePoint{Step: *ft.Num(steps[d.IntN(len(steps))]), Ending: ft.Num(endings[d.IntN(len(endings))])}
	}
	return c
}

// wanted is a margin or a markup, with the net price it asks for.
func (d draw) wanted(cost *big.Rat) (trade.Price, *big.Rat) {
	n := bom.Exactly(decimal.New(d.Int64N(70), -2))
	if d.IntN(2) == 0 {
		return trade.Price{Markup: &n}, ft.Plus(cost, ft.Times(cost, n.Likely.Rat()))
	}
	return trade.Price{Margin: &n}, ft.Over(cost, ft.Minus(ft.Rat("1"), n.Likely.Rat()))
}

// TestForwardAndBackward: at the price before it is made a price point, what
// stays in the till is the net price wanted, whatever is taken off on the way.
// At the price point it is no less, and margin and markup are what the till says.
func TestForwardAndBackward(t *testing.T) {
	t.Parallel()
	for seed := range uint64(400) {
		d := draw{ft.Drawn(seed, 3)}
		c, full := d.channel(), decimal.New(100+d.Int64N(60000), -2)
		cost := costs(c, full.Rat())
		p, target := d.wanted(cost)
		o := build(t, c, p)
		v := o.at(full.String(), nil)
		what := fmt.Sprintf("seed %d", seed)
		o.Want(v, what+": net price wanted", o.f.TargetNet, target)

		gross := o.wantedGross(v)
		if diff := ft.Minus(till(c, gross), target); diff.Abs(diff).Cmp(ft.Rat("0.0000000000000000000000001")) > 0 {
			t.Errorf("%s: at the price wanted %s stays, want %s", what, till(c, gross).FloatString(25), target.FloatString(25))
		}
		free, _ := v.Raw(o.grossID())
		o.Want(o.at(full.String(), exact.Pins{o.f.Shelf: free}), what+": proceeds before the price point", o.f.Proceeds, target)

		shelf := o.rat(v, o.f.Shelf)
		if want := smallestPoint(c, gross); shelf.Cmp(want) != 0 {
			t.Errorf("%s: the price is %s, the smallest price point %s (wanted %s)", what, shelf.FloatString(4), want.FloatString(4), gross.FloatString(12))
		}
		o.earned(v, what, till(c, shelf), cost)
		if short := ft.Minus(target, o.rat(v, o.f.Proceeds)); short.Cmp(ft.Rat("0.00000002")) > 0 { // the snap of a step of 20
			t.Errorf("%s: less stays than wanted", what)
		}
	}
}

// grossID is the price before it becomes a price point: the last figure of the
// way forward that exists.
func (o *offer) grossID() graph.ID {
	last := graph.None
	for _, key := range []string{"price/gross-wanted", "price/shelf-net-wanted", "price/list-price", "price/target-price", "price/net-and-fee", "price/target-net"} {
		if id, ok := o.Graph.Find(key); ok {
			last = max(last, id)
		}
	}
	if last != graph.None {
		return last
	}
	o.T.Fatal("no price is wanted")
	return graph.None
}

func (o *offer) wantedGross(v *exact.Values) *big.Rat { return o.rat(v, o.grossID()) }

// smallestPoint steps down from above and back up to the first price that is
// not below the one wanted; prices are told apart to the ninth place of a step.
func smallestPoint(c trade.Channel, wanted *big.Rat) *big.Rat {
	step, at := ft.Rat("0.01"), new(big.Rat)
	if pt := c.PricePoint; pt != nil {
		step, at = pt.Step.Likely.Rat(), ft.Typed(pt.Ending)
	}
	enough := ft.Minus(wanted, ft.Times(step, ft.Rat("0.0000000005")))
	near, _ := ft.Over(ft.Minus(enough, at), step).Float64() // only to save steps
	at = ft.Plus(at, ft.Times(step, new(big.Rat).SetInt64(int64(near)-3)))
	for at.Cmp(enough) >= 0 {
		at = ft.Minus(at, step)
	}
	for at.Cmp(enough) < 0 {
		at = ft.Plus(at, step)
	}
	return at
}

// earned compares what is earned with the till.
func (o *offer) earned(v *exact.Values, what string, proceeds, cost *big.Rat) {
	o.T.Helper()
	profit := ft.Minus(proceeds, cost)
	o.Want(v, what+": proceeds", o.f.Proceeds, proceeds)
	o.Want(v, what+": profit", o.f.Profit, profit)
	o.Want(v, what+": margin", o.f.Margin, ft.Over(profit, proceeds))
	o.Want(v, what+": markup", o.f.Markup, ft.Over(profit, cost))
}

// TestMarginIsReached: the margin earned at the price asked is never below the
// margin wanted, to the snap of the price point.
func TestMarginIsReached(t *testing.T) {
	t.Parallel()
	for seed := range uint64(200) {
		d := draw{ft.Drawn(seed, 4)}
		o := build(t, d.channel(), trade.Price{Margin: ft.Num("0.36")})
		for _, full := range []string{"0.5", "12.345", "86.21", "140"} {
			got := o.rat(o.at(full, nil), o.f.Margin)
			if got.Cmp(ft.Rat("0.359999999")) < 0 {
				t.Errorf("seed %d: full cost %s earns a margin of %s", seed, full, got.FloatString(9))
			}
		}
	}
}

// TestDirectSale by hand: the shop's own channel at home.
func TestDirectSale(t *testing.T) {
	t.Parallel()
	c := trade.Channel{PaymentShare: ft.Num("0.019"), PaymentFixed: ft.Num("0.30"), Returns: ft.Num("2.10"), Warranty: ft.Num("1.40"),
		Tax: ft.Num("0.23"), PricePoint: &trade.PricePoint{Step: *ft.Num("10"), Ending: ft.Num("9.90")}}
	o := build(t, c, trade.Price{Margin: ft.Num("0.36")})
	v := o.at("76.5", nil)
	o.Want(v, "net price wanted", o.f.TargetNet, ft.Rat("125")) // 80 ÷ 0.64
	// (125 + 0.30) ÷ (1/1.23 − 0.019) = 157.80…
	o.Want(v, "price asked", o.f.Shelf, ft.Rat("159.90"))
	o.Want(v, "price without tax", o.f.ShelfNet, ft.Rat("130"))
	o.Want(v, "proceeds", o.f.Proceeds, ft.Rat("126.6619")) // 130 − 3.0381 − 0.30
	o.Want(v, "profit", o.f.Profit, ft.Rat("46.6619"))
	o.Want(v, "margin", o.f.Margin, ft.Over(ft.Rat("46.6619"), ft.Rat("126.6619")))
	o.Want(v, "markup", o.f.Markup, ft.Rat("0.58327375"))
}

// TestReseller by hand: the dealer keeps 38 % of the net shelf price and pays
// less 5 % and 2 %.
func TestReseller(t *testing.T) {
	t.Parallel()
	c := trade.Channel{CashDiscount: ft.Num("0.02"), CustomerDiscount: ft.Num("0.05"), ResellerMargin: ft.Num("0.38"), Tax: ft.Num("0.23")}
	o := build(t, c, trade.Price{Markup: ft.Num("0.25")})
	v := o.at("80", nil)
	list := ft.Over(ft.Rat("100"), ft.Rat("0.931"))
	o.Want(v, "list price", o.f.List, list)
	o.Want(v, "price wanted", o.grossID(), ft.Times(ft.Over(list, ft.Rat("0.62")), ft.Rat("1.23")))
	o.Want(v, "price asked", o.f.Shelf, ft.Rat("213.10")) // 213.0911…
	o.Want(v, "proceeds", o.f.Proceeds, ft.Times(ft.Over(ft.Rat("213.10"), ft.Rat("1.23")), ft.Rat("0.57722")))
}

// TestFeeTax: tax on the fees that nobody gives back is a cost, on the share as
// on the fixed fee.
func TestFeeTax(t *testing.T) {
	t.Parallel()
	c := trade.Channel{PaymentShare: ft.Num("0.02"), MarketShare: ft.Num("0.08"), PaymentFixed: ft.Num("0.50"), FeeTaxCost: ft.Num("0.2")}
	o := build(t, c, trade.Price{Margin: ft.Num("0")})
	v := o.at("87.4", nil)
	o.Want(v, "price asked", o.f.Shelf, ft.Rat("100")) // (87.4 + 0.6) ÷ (1 − 0.12)
	o.Want(v, "proceeds", o.f.Proceeds, ft.Rat("87.4"))
}

// TestPricePoints by hand, the ones on the edge included.
func TestPricePoints(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ step, ending, full, price string }{
		{"10", "9.90", "0.01", "9.90"},
		{"10", "9.90", "9.90", "9.90"},
		{"10", "9.90", "9.91", "19.90"},
		{"10", "9.90", "149.90", "149.90"},
		{"10", "9.90", "149.90000000000000000001", "149.90"}, // below the ninth place
		{"5", "", "140", "140"},
		{"5", "", "140.01", "145"},
		{"5", "9.90", "3", "4.90"}, // an ending beyond the step
		{"0.05", "", "3.333333", "3.35"},
		{"", "", "3.331", "3.34"},
		{"", "", "3.33", "3.33"},
	} {
		channel := trade.Channel{}
		if c.step != "" {
			channel.PricePoint = &trade.PricePoint{Step: *ft.Num(c.step), Ending: ft.Num(c.ending)}
		}
		o := build(t, channel, trade.Price{Margin: ft.Num("0")})
		o.Want(o.at(c.full, nil), fmt.Sprintf("price of %s by %s + %s", c.full, c.step, c.ending), o.f.Shelf, ft.Rat(c.price))
	}
}

// TestExactThird: a price that is exactly a price point after a division is not
// pushed to the next.
func TestExactThird(t *testing.T) {
	t.Parallel()
	c := trade.Channel{PricePoint: &trade.PricePoint{Step: *ft.Num("10"), Ending: ft.Num("9.90")}}
	o := build(t, c, trade.Price{Margin: ft.Num("0.3")})
	for k := int64(0); k < 400; k++ { // full = 0.7 × (10k + 9.90)
		point := decimal.New(1000*k+990, -2)
		full := point.Mul(ft.Dec("0.7"))
		o.Want(o.at(full.String(), nil), "price of "+full.String(), o.f.Shelf, point.Rat())
	}
}

// TestNothingLeft: where tax, fees or discounts take the whole price, no price
// reaches the target. The check says so, and no price is shown.
func TestNothingLeft(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]trade.Channel{
		"fees":             {PaymentShare: ft.Num("0.4"), MarketShare: ft.Num("0.7")},
		"fees exactly":     {PaymentShare: ft.Num("0.3"), MarketShare: ft.Num("0.7")},
		"tax and fees":     {Tax: ft.Num("0.25"), MarketShare: ft.Num("0.8")},
		"tax on fees":      {MarketShare: ft.Num("0.9"), FeeTaxCost: ft.Num("0.2")},
		"discounts":        {CashDiscount: ft.Num("0.3"), Commission: ft.Num("0.9")},
		"discount exactly": {CashDiscount: ft.Num("0.1"), Commission: ft.Num("0.9")},
	} {
		o := build(t, c, trade.Price{Margin: ft.Num("0.2")})
		v := o.at("50", nil)
		if !o.failsACheck(v) {
			t.Errorf("%s: every check holds", name)
		}
		var undefined *exact.UndefinedError
		if d, err := v.Get(o.f.Shelf); !errors.As(err, &undefined) {
			t.Errorf("%s: the price asked is %s", name, d)
		}
	}
}

func (o *offer) failsACheck(v *exact.Values) bool {
	for i := range o.Graph.Len() {
		id := graph.ID(i)
		if o.Graph.Node(id).Op == graph.Check {
			if d, ok := v.Raw(id); ok && d.IsZero() {
				return true
			}
		}
	}
	return false
}

// TestEnteredPrices go backward only: from the list price over the price point,
// or from the price asked as it stands; with a margin wanted they say what the
// product may cost.
func TestEnteredPrices(t *testing.T) {
	t.Parallel()
	for seed := range uint64(150) {
		d := draw{ft.Drawn(seed, 5)}
		c := d.channel()
		entered := bom.Exactly(decimal.New(2000+d.Int64N(40000), -2))
		p := trade.Price{Margin: ft.Num("0.3")}
		what := fmt.Sprintf("seed %d, list price", seed)
		if d.IntN(2) == 0 {
			what, p.ShelfPrice = fmt.Sprintf("seed %d, price asked", seed), &entered
		} else {
			p.ListPrice = &entered
		}
		o := build(t, c, p)
		v := o.at("12.5", nil)
		if o.f.TargetNet != graph.None {
			t.Errorf("%s: there is a net price wanted", what)
		}
		shelf := entered.Likely.Rat()
		if p.ListPrice != nil {
			o.Want(v, what+" as entered", o.f.List, shelf)
			shelf = smallestPoint(c, o.wantedGross(v))
		}
		o.Want(v, what+": price asked", o.f.Shelf, shelf)
		o.earned(v, what, till(c, shelf), costs(c, ft.Rat("12.5")))
		o.Want(v, what+": cost allowed", o.f.Target, ft.Times(till(c, shelf), ft.Rat("0.7")))
		o.Want(v, what+": cost above it", o.ID("price/cost-gap"), ft.Minus(costs(c, ft.Rat("12.5")), ft.Times(till(c, shelf), ft.Rat("0.7"))))
		o.Want(v, what+": margin wanted", o.f.Beside, ft.Rat("0.3"))
		atRequired := ft.Times(till(c, o.rat(v, o.f.Required)), ft.Rat("0.7"))
		if !near(atRequired, costs(c, ft.Rat("12.5"))) {
			t.Errorf("%s: the price required allows a cost of %s", what, atRequired.FloatString(12))
		}
	}
}

// near tells apart what differs by more than roundings to 34 digits.
func near(a, b *big.Rat) bool {
	return new(big.Rat).Abs(ft.Minus(a, b)).Cmp(ft.Rat("0.0000000000000000000000001")) < 0
}

// TestEnteredWithoutMargin allows no cost, for nothing was wanted.
func TestEnteredWithoutMargin(t *testing.T) {
	t.Parallel()
	o := build(t, trade.Channel{}, trade.Price{ListPrice: ft.Num("249")})
	if o.f.Target != graph.None || o.f.TargetNet != graph.None || o.f.Required != graph.None || o.f.Beside != graph.None {
		t.Error("an entered price without a margin has a target")
	}
	v := o.at("100", nil)
	o.Want(v, "proceeds", o.f.Proceeds, ft.Rat("249"))
	o.Want(v, "profit", o.f.Profit, ft.Rat("149"))
}
