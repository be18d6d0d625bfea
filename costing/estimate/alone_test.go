package estimate_test

import (
	"math/big"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/trade"
)

// TestAPartAloneCostsWhatAProductOfItDoes: a part by itself costs what a product does
// that consists of one piece of it and is sold in the same channels.
func TestAPartAloneCostsWhatAProductOfItDoes(t *testing.T) {
	t.Parallel()
	b := demo(t)
	margin := bom.Exactly(decimal.RequireFromString("0.4"))
	for _, p := range b.Parts {
		if p.ByPiece() {
			id := "ONLY-" + p.Number
			b.Products = append(b.Products, bom.Product{Number: id, Name: p.Name, Trims: []bom.Trim{{ID: id, Name: p.Name}},
				Positions: []bom.Position{{Number: 10, Part: p.Number, Quantity: bom.Whole(1)}}})
			b.Prices = append(b.Prices, trade.Price{Product: id, Channel: "direct", Margin: &margin}, trade.Price{Product: id, Channel: "dealer", Margin: &margin})
		}
	}
	compared := 0
	for i, p := range b.Parts {
		if !p.ByPiece() || i%3 > 0 && testing.Short() {
			continue
		}
		n := decimal.New(int64(7+13*i), 0)
		alone := priced(t, b, estimate.Alone(p.Number, n, &margin))
		product := priced(t, b, []estimate.MixLine{{Product: "ONLY-" + p.Number, Trim: "ONLY-" + p.Number, Quantity: bom.Exactly(n)}})
		v, w := alone.est.Variants[0], product.est.Variants[0]
		pairs := map[string][2]*big.Rat{"full cost": {alone.rat(v.Full), product.rat(w.Full)}, "batch": {alone.rat(v.BatchFull), product.rat(w.BatchFull)}}
		for j, c := range v.Prices {
			pairs["price in "+string(c.Channel)] = [2]*big.Rat{alone.rat(c.Shelf), product.rat(w.Prices[j].Shelf)}
			pairs["margin in "+string(c.Channel)] = [2]*big.Rat{alone.rat(c.Margin), product.rat(w.Prices[j].Margin)}
		}
		if len(v.Prices) != 2 || len(alone.est.Landed) > 0 {
			t.Errorf("%s has %d prices, and is landed %d times", p.Number, len(v.Prices), len(alone.est.Landed))
		}
		for what, pair := range pairs {
			if compared++; pair[0].Cmp(pair[1]) != 0 {
				t.Errorf("%s of %s %s alone is %s, of a product of it %s", what, n, p.Number, pair[0].FloatString(6), pair[1].FloatString(6))
			}
		}
	}
	if compared < 40 {
		t.Errorf("%d figures compared", compared)
	}
}

func priced(t *testing.T, b *book.Book, mix []estimate.MixLine) sheet {
	t.Helper()
	return evaluate(t, build(t, b, mix), nil)
}

// TestAPriceOfAPartAlone: without a channel it is cost ÷ (1 − margin), up to the cent;
// a channel's own margin holds where none is asked, and nothing does where there is none.
func TestAPriceOfAPartAlone(t *testing.T) {
	t.Parallel()
	b := demo(t)
	margin := bom.Exactly(decimal.RequireFromString("0.4"))
	if e := priced(t, b, estimate.Alone("HS-010", decimal.New(10, 0), nil)); len(e.est.Variants[0].Prices) > 0 {
		t.Error("a price without any margin")
	}
	b.Channels[0].Margin = &margin
	own := priced(t, b, estimate.Alone("HS-010", decimal.New(10, 0), nil))
	asked := priced(t, b, estimate.Alone("HS-010", decimal.New(10, 0), &margin))
	if len(own.est.Variants[0].Prices) != 1 || own.rat(own.est.Variants[0].Prices[0].Shelf).Cmp(asked.rat(asked.est.Variants[0].Prices[0].Shelf)) != 0 {
		t.Error("the margin of the channel gives another price than the same one asked for")
	}
	b.Channels, b.Prices, b.Destinations = nil, nil, nil
	plain := priced(t, b, estimate.Alone("HS-010", decimal.New(10, 0), &margin))
	full, _ := plain.v.Get(plain.est.Variants[0].Full)
	want := full.Div(decimal.RequireFromString("0.6")).RoundCeil(2)
	if got := plain.rat(plain.est.Variants[0].Prices[0].Shelf); got.Cmp(want.Rat()) != 0 {
		t.Errorf("the price without a channel is %s, and the cost says %s", got.FloatString(2), want)
	}
}

// TestLinesThatNameNothing: a line is a trim of a product or a part alone.
func TestLinesThatNameNothing(t *testing.T) {
	t.Parallel()
	margin := bom.Exactly(decimal.RequireFromString("0.4"))
	for says, l := range map[string]estimate.MixLine{
		"a trim, or a part alone":          {},
		"a product and its trim":           {Product: "LAMP"},
		"has neither":                      {Product: "LAMP", Part: "HS-010"},
		"only a part alone":                {Product: "LAMP", Trim: "plain", Margin: &margin},
		"there is no part NONE":            {Part: "NONE"},
		"the name of a part and of a trim": {Part: "plain"},
	} {
		l.Quantity = bom.Whole(5)
		b := atHome(t)
		mix := []estimate.MixLine{l}
		if l.Part == "plain" {
			b.Parts[0].Number = "plain"
			mix = append(mix, estimate.MixLine{Product: "LAMP", Trim: "plain", Quantity: bom.Whole(5)})
		}
		if _, err := estimate.Build(b, mix, demoDay); err == nil || !strings.Contains(err.Error(), strings.TrimPrefix(says, "a trim, or ")) {
			t.Errorf("%s: %v", says, err)
		}
	}
}
