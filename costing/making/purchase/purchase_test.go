package purchase_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// way is a way goods are sold: how many purchase units one unit of use is, and the
// steps in which the oracle tries quantities.
type way struct {
	unit         rates.PurchaseUnit
	goods        goods
	perUse, grid string
}

var sold = []way{
	{rates.PerPiece, part, "1", "1"},
	{rates.PerHundred, part, "0.01", "0.01"},
	{rates.PerPiece, goods{use: graph.Plain}, "1", "1"},
	{rates.PerSheet, goods{use: graph.Plain}, "1", "1"},
	{rates.PerKilogram, goods{use: graph.Plain, kg: "2.387", m: "3.1"}, "2.387", "0.5"},
	{rates.PerMetre, goods{use: graph.Plain, kg: "2.387", m: "3.1"}, "3.1", "0.5"},
	{rates.PerPack, part, "0.04", "1"},
	{rates.PerPack, goods{use: graph.Metre}, "0.04", "1"},
	{rates.PerMetre, goods{use: graph.Metre}, "1", "0.5"},
	{rates.PerKilogram, goods{use: graph.Gram, kg: "0.001"}, "0.001", "0.5"},
	{rates.PerKilogram, goods{use: graph.Piece, kg: "0.25"}, "0.25", "0.5"},
}

// draw makes random offers.
type draw struct{ ft.Draw }

// offer makes an offer whose prices mostly fall with the quantity, by so little
// at times that the next break is never worth it.
func (d draw) offer(supplier string, unit rates.PurchaseUnit) rates.Offer {
	o := rates.Offer{Supplier: bom.ID(supplier), Unit: unit, Currency: "EUR", LeftoverValue: d.Maybe(100, 2)}
	if unit == rates.PerPack {
		o.PackContent = ft.Num("25")
	}
	places, breakPlaces := int32(0), int32(0)
	switch unit {
	case rates.PerKilogram, rates.PerMetre:
		places = 1
	case rates.PerHundred:
		places, breakPlaces = 1, 2 // of the size of the needs
	}
	from, price := decimal.New(d.Int64N(20), -breakPlaces), decimal.New(2000+d.Int64N(3000), -2)
	for range 1 + d.IntN(4) {
		o.Breaks = append(o.Breaks, rates.PriceBreak{From: bom.Exactly(from), Price: bom.Exactly(price)})
		from = from.Add(decimal.New(1+d.Int64N(60), -breakPlaces))
		price = price.Mul(decimal.New(70+d.Int64N(32), -2))
	}
	o.MOQ, o.Multiple = d.Maybe(60, places), d.Maybe(25, places)
	if d.IntN(2) == 0 {
		o.Inbound = &rates.Inbound{Fixed: d.Maybe(9000, 2), PerUnit: d.Maybe(300, 2), Share: d.Maybe(10, 2)}
	}
	return o
}

// inWholePieces gives packs, and what is used by the piece and sold by mass or length,
// the multiple of one where no multiple is named.
func (w way) inWholePieces(o rates.Offer) rates.Offer {
	if w.unit == rates.PerPack && o.Multiple == nil {
		o.Multiple = ft.Num("1")
	}
	if w.goods.use != graph.Plain && w.goods.use != graph.Piece {
		return o
	}
	if (w.unit == rates.PerKilogram || w.unit == rates.PerMetre) && o.Multiple == nil {
		o.Multiple = ft.Num(w.perUse)
	}
	return o
}

// TestOrders compares B1 with all the orders that could be placed.
func TestOrders(t *testing.T) {
	t.Parallel()
	for seed := range uint64(180) {
		d := draw{ft.Drawn(seed, 1)}
		way := sold[seed%uint64(len(sold))]
		o := d.offer("sup", way.unit)
		c := way.goods.build(t, o)
		for range 5 {
			need := fmt.Sprint(d.IntN(120))
			if use := way.goods.use; use != graph.Plain && use != graph.Piece {
				need += fmt.Sprintf(".%d", d.IntN(10))
			}
			quantity, cost := ft.BestOrder(way.inWholePieces(o), ft.Times(ft.Rat(need), ft.Rat(way.perUse)), ft.Rat(way.grid))
			v := c.at(need)
			what := fmt.Sprintf("seed %d, %s by %s", seed, need, way.unit)
			c.Want(v, what+": cost", c.order.Cost, cost)
			c.Want(v, what+": bought", c.order.Bought, ft.Over(quantity, ft.Rat(way.perUse)))
			if way.goods.use != graph.Plain {
				c.Want(v, what+": charged", c.charged, charged(o, ft.Rat(need), ft.Over(quantity, ft.Rat(way.perUse)), cost))
			}
		}
	}
}

// charged is B2: what is left over comes off at its share of the price paid.
func charged(o rates.Offer, need, bought, cost *big.Rat) *big.Rat {
	if bought.Sign() == 0 {
		return cost
	}
	unused := ft.Times(ft.Over(ft.Minus(bought, need), bought), cost) // this part of the cash lies on the shelf
	return ft.Minus(cost, ft.Times(unused, ft.Typed(o.LeftoverValue)))
}

// TestCashNeverFalls: whoever needs more never pays less, because the larger
// order was open to the smaller need as well.
func TestCashNeverFalls(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		d := draw{ft.Drawn(seed, 2)}
		way := sold[seed%uint64(len(sold))]
		c := way.goods.build(t, d.offer("a", way.unit), d.offer("b", way.unit))
		last := decimal.Zero
		for need := range 90 {
			cost := c.Get(c.at(fmt.Sprint(need)), c.order.Cost)
			if cost.LessThan(last) {
				t.Errorf("seed %d: %d cost %s, one less %s", seed, need, cost, last)
			}
			last = cost
		}
	}
}

// TestOrderExamples are orders worked by hand.
func TestOrderExamples(t *testing.T) {
	t.Parallel()
	simple := breaks("1", "1.25", "100", "1")
	for _, c := range []struct {
		name               string
		offer              rates.Offer
		need, bought, cost string
	}{
		{"below the break that is worth it", rates.Offer{Breaks: simple}, "79", "79", "98.75"},
		{"a tie keeps the smaller", rates.Offer{Breaks: simple}, "80", "80", "100"},
		{"worth going up", rates.Offer{Breaks: simple}, "81", "100", "100"},
		{"at the break", rates.Offer{Breaks: simple}, "100", "100", "100"},
		{"above it", rates.Offer{Breaks: simple}, "101", "101", "101"},
		{"below the first break its price holds", rates.Offer{Breaks: breaks("50", "3.6", "250", "2.55")}, "7", "7", "25.2"},
		{"the minimum", rates.Offer{Breaks: breaks("1", "2"), MOQ: ft.Num("30")}, "7", "30", "60"},
		{"the minimum rounded up", rates.Offer{Breaks: breaks("1", "2"), MOQ: ft.Num("30"), Multiple: ft.Num("25")}, "7", "50", "100"},
		{"the break rounded up", rates.Offer{Breaks: breaks("1", "2", "100", "1"), Multiple: ft.Num("30")}, "61", "120", "120"},
		{"the break rounded up is too dear", rates.Offer{Breaks: breaks("1", "2", "100", "1.6"), Multiple: ft.Num("30")}, "61", "90", "180"},
		{"a multiple reached exactly", rates.Offer{Breaks: breaks("1", "2"), Multiple: ft.Num("0.3")}, "9", "9", "18"},
		{"two breaks up", rates.Offer{Breaks: breaks("1", "10", "20", "9.9", "50", "3")}, "16", "50", "150"},
		{"a higher price above", rates.Offer{Breaks: breaks("1", "1", "10", "3")}, "12", "12", "36"},
		{"nothing", rates.Offer{Breaks: simple, MOQ: ft.Num("30"), Inbound: &rates.Inbound{Fixed: ft.Num("20")}}, "0", "0", "0"},
		{"inbound by unit makes going up too dear", rates.Offer{Breaks: simple, Inbound: &rates.Inbound{PerUnit: ft.Num("0.1")}}, "81", "81", "109.35"},
		{"inbound by value makes no difference", rates.Offer{Breaks: simple, Inbound: &rates.Inbound{Share: ft.Num("0.1"), Fixed: ft.Num("7")}}, "81", "100", "117"},
	} {
		c.offer.Supplier, c.offer.Unit, c.offer.Currency = "sup", rates.PerPiece, "EUR"
		n := part.build(t, c.offer)
		v := n.at(c.need)
		n.Want(v, c.name+": bought", n.order.Bought, ft.Rat(c.bought))
		n.Want(v, c.name+": cost", n.order.Cost, ft.Rat(c.cost))
	}
}

// TestHundreds: 437 magnets at 98.00 by the hundred, whole hundreds only.
func TestHundreds(t *testing.T) {
	t.Parallel()
	o := rates.Offer{Supplier: "sup", Unit: rates.PerHundred, Currency: "CNY", Breaks: breaks("1", "98", "10", "84"),
		MOQ: ft.Num("2"), Multiple: ft.Num("1"), Inbound: &rates.Inbound{Fixed: ft.Num("120"), Share: ft.Num("0.05")}, LeftoverValue: ft.Num("0.8")}
	c := goods{use: graph.Piece, change: map[string]string{"CNY": "0.121"}}.build(t, o)
	v := c.at("437")
	c.Want(v, "bought", c.order.Bought, ft.Rat("500"))
	c.Want(v, "cost", c.order.Cost, ft.Rat("76.7745"))                                // (490 × 1.05 + 120) × 0.121
	c.Want(v, "charged", c.charged, ft.Minus(ft.Rat("76.7745"), ft.Rat("7.7388696"))) // 63/500 × 0.8
	c.Want(c.at("850"), "going up to ten hundreds", c.order.Bought, ft.Rat("1000"))   // 882 against 840
	c.Want(c.at("800"), "staying with eight", c.order.Bought, ft.Rat("800"))          // 784 against 840
	c.Want(c.at("100"), "the minimum of two hundreds", c.order.Bought, ft.Rat("200"))
}

// TestPacks: 1.8 m of cord for each of 70 lamps, by the reel of 50 m and by the metre;
// 2 g of glue by the can of 250 g.
func TestPacks(t *testing.T) {
	t.Parallel()
	reel := rates.Offer{Supplier: "reel", Unit: rates.PerPack, Currency: "EUR", PackContent: ft.Num("50"), Breaks: breaks("1", "30", "4", "27")}
	metre := rates.Offer{Supplier: "metre", Unit: rates.PerMetre, Currency: "EUR", Breaks: breaks("1", "0.72"), Multiple: ft.Num("0.5")}
	c := goods{use: graph.Metre}.build(t, reel, metre)
	v := c.at("126")
	c.Want(v, "three reels cost less than 126 m", c.order.Bought, ft.Rat("150"))
	c.Want(v, "cost", c.order.Cost, ft.Rat("90"))
	c.Want(v, "left over", c.ID("leftover"), ft.Rat("24"))
	v = c.at("9.3")
	c.Want(v, "9.5 m cost less than a reel", c.order.Bought, ft.Rat("9.5"))
	c.Want(v, "cost", c.order.Cost, ft.Rat("6.84"))

	can := rates.Offer{Supplier: "can", Unit: rates.PerPack, Currency: "EUR", PackContent: ft.Num("250"), Breaks: breaks("1", "18.5"), LeftoverValue: ft.Num("0.5")}
	c = goods{use: graph.Gram}.build(t, can)
	v = c.at("140")
	c.Want(v, "one can", c.order.Bought, ft.Rat("250"))
	c.Want(v, "half of what is left is credited", c.charged, ft.Rat("14.43")) // 18.5 − 0.5 × 110/250 × 18.5
}

// TestTwoOffers takes the one that costs less in the currency of the book, the
// first on ties, and credits leftover by the terms of the one taken.
func TestTwoOffers(t *testing.T) {
	t.Parallel()
	change := map[string]string{"USD": "0.8", "SEK": "0.09"}
	for seed := range uint64(60) {
		d := draw{ft.Drawn(seed, 3)}
		list := []rates.Offer{d.offer("a", rates.PerPiece), d.offer("b", rates.PerHundred), d.offer("c", rates.PerPiece)}
		list[0].Currency, list[2].Currency = "USD", "SEK"
		rate := []*big.Rat{ft.Rat("0.8"), ft.Rat("1"), ft.Rat("0.09")}
		perUse := []*big.Rat{ft.Rat("1"), ft.Rat("0.01"), ft.Rat("1")}
		list = list[:2+d.IntN(2)]
		c := goods{use: graph.Piece, change: change}.build(t, list...)
		for _, need := range []string{"0", "1", "13", "60", "119"} {
			var bought, cost, charge *big.Rat
			for i, o := range list {
				q, money := ft.BestOrder(o, ft.Times(ft.Rat(need), perUse[i]), perUse[i])
				if money = ft.Times(money, rate[i]); cost == nil || money.Cmp(cost) < 0 {
					bought, cost = ft.Over(q, perUse[i]), money
					charge = charged(o, ft.Rat(need), bought, cost)
				}
			}
			v := c.at(need)
			what := fmt.Sprintf("seed %d, need %s", seed, need)
			c.Want(v, what+": bought", c.order.Bought, bought)
			c.Want(v, what+": cost", c.order.Cost, cost)
			c.Want(v, what+": charged", c.charged, charge)
		}
	}
}

// TestTieOfOffers: of two equal offers the first in the book is taken.
func TestTieOfOffers(t *testing.T) {
	t.Parallel()
	first := rates.Offer{Supplier: "a", Unit: rates.PerPiece, Currency: "EUR", Breaks: breaks("1", "2"), MOQ: ft.Num("10")}
	second := rates.Offer{Supplier: "b", Unit: rates.PerPiece, Currency: "EUR", Breaks: breaks("1", "4"), LeftoverValue: ft.Num("1")}
	for _, c := range []struct {
		offers []rates.Offer
		bought string
	}{{[]rates.Offer{first, second}, "10"}, {[]rates.Offer{second, first}, "5"}} {
		n := part.build(t, c.offers...)
		v := n.at("5")
		n.Want(v, "bought", n.order.Bought, ft.Rat(c.bought))
		n.Want(v, "cost", n.order.Cost, ft.Rat("20"))
		n.Want(v, "charged", n.charged, ft.Rat("20")) // no credit is agreed with a, nothing is left from b
	}
}

// TestLeftover of a bought part is always shown, credited or not.
func TestLeftover(t *testing.T) {
	t.Parallel()
	for value, charge := range map[string]string{"": "60", "0": "60", "0.5": "37", "1": "14"} {
		o := rates.Offer{Supplier: "sup", Unit: rates.PerPiece, Currency: "EUR", Breaks: breaks("1", "2"), MOQ: ft.Num("30"), LeftoverValue: ft.Num(value)}
		c := part.build(t, o)
		v := c.at("7")
		c.Want(v, "leftover", c.ID("leftover"), ft.Rat("23"))
		c.Want(v, "charged at "+value, c.charged, ft.Rat(charge))
	}
}
