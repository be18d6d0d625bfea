package price_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/trade"
)

// TestPriceOnADrawnCost: with the addition pinned, every figure is what it is of a price
// on the likely cost where the full cost is as much higher, and without a pin there is
// no price. What is drawn is all that the price has to bear.
func TestPriceOnADrawnCost(t *testing.T) {
	t.Parallel()
	for seed := range uint64(200) {
		d := draw{ft.Drawn(seed, 8)}
		c, full, added := d.channel(), decimal.New(100+d.Int64N(60000), -2), decimal.New(d.Int64N(4000)-500, -3)
		likely, _ := d.wanted(full.Rat())
		drawn := likely
		drawn.RestsOn = trade.NotExceeded("80")
		on, by := build(t, c, drawn), build(t, c, likely)
		if by.f.Added != graph.None || by.f.Cost != by.full {
			t.Fatal("a price on the likely cost has something drawn")
		}
		asked := on.Graph.Node(on.f.Added).Decision.Drawn
		if asked.Share.String() != "0.8" || asked.Count != 4096 || asked.Seed != 1 {
			t.Errorf("drawn is %+v", asked)
		}
		v, w := on.at(full.String(), exact.Pins{on.f.Added: added}), by.at(full.Add(added).String(), nil)
		for name, pair := range map[string][2]graph.ID{
			"price": {on.f.Shelf, by.f.Shelf}, "proceeds": {on.f.Proceeds, by.f.Proceeds}, "profit": {on.f.Profit, by.f.Profit},
			"margin": {on.f.Margin, by.f.Margin}, "price needed": {on.f.Required, by.f.Required}, "cost": {on.f.Cost, by.f.Cost},
		} {
			a, okA := v.Raw(pair[0])
			b, okB := w.Raw(pair[1])
			if okA != okB || !a.Equal(b) {
				t.Errorf("seed %d, %s: %s, want %s", seed, name, a, b)
			}
		}
		of, _ := on.Graph.Find(asked.Of)
		if got, want := on.rat(v, of), costs(c, full.Rat()); got.Cmp(want) != 0 {
			t.Errorf("drawn is a cost of %s, want %s", got, want)
		}
		if not := on.at(full.String(), nil); not.Defined(on.f.Shelf) || !not.Defined(of) {
			t.Error("there is a price before anything is drawn, or no cost")
		}
	}
}

// TestAnEnteredPriceRestsOnNoCost: nothing is drawn for it.
func TestAnEnteredPriceRestsOnNoCost(t *testing.T) {
	t.Parallel()
	o := build(t, trade.Channel{ID: "c"}, trade.Price{ShelfPrice: ft.Num("300"), Margin: ft.Num("0.2"), RestsOn: trade.Average})
	if len(o.Graph.Drawn()) != 0 || o.f.Added != graph.None {
		t.Error("something is drawn for a price that was entered")
	}
	on := build(t, trade.Channel{ID: "c"}, trade.Price{Margin: ft.Num("0.2"), RestsOn: trade.Average})
	if rule := on.Graph.Node(on.f.Added).Decision.Rule; !strings.HasPrefix(rule, "the average of 4096 draws of full cost") {
		t.Errorf("the rule is %q", rule)
	}
}
