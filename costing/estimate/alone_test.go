package estimate_test

import (
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
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
		"only a part alone is asked where": {Product: "LAMP", Trim: "plain", Destinations: []string{"CH"}},
		"is no destination of HS-010":      {Part: "HS-010", Destinations: []string{"Switzerland"}},
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

// TestAPartAloneInACountry: what is paid there for a part by itself is what is paid for a
// product of it alone, whether or not the book has the destination.
func TestAPartAloneInACountry(t *testing.T) {
	t.Parallel()
	b := demo(t)
	margin := bom.Exactly(decimal.RequireFromString("0.4"))
	parcel := bom.Parcel{LengthMM: bom.Whole(200), WidthMM: bom.Whole(120), HeightMM: bom.Whole(80), MassG: bom.Whole(520)}
	at := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return p.Number == "HS-010" })
	b.Parts[at].HSCode, b.Parts[at].Parcel = "761699", &parcel
	b.Products = append(b.Products, bom.Product{Number: "ONLY", Name: "heat sink", Trims: []bom.Trim{{ID: "ONLY", Name: "heat sink"}}, HSCode: "761699", Origin: b.Country, Parcel: &parcel,
		Positions: []bom.Position{{Number: 10, Part: "HS-010", Quantity: bom.Whole(1)}}})
	b.Prices = append(b.Prices, trade.Price{Product: "ONLY", Channel: "direct", Margin: &margin}, trade.Price{Product: "ONLY", Channel: "dealer", Margin: &margin})
	alone := estimate.Alone("HS-010", decimal.New(45, 0), &margin)
	alone[0].Destinations = []string{"CH", "NL", "DE", "US", "GB"}
	b.Destinations = slices.DeleteFunc(b.Destinations, func(d trade.Destination) bool { return d.Place() == "NL" })
	part := priced(t, b, alone)
	b.Destinations = append(b.Destinations, trade.Elsewhere("NL"))
	product := priced(t, b, []estimate.MixLine{{Product: "ONLY", Trim: "ONLY", Quantity: bom.Whole(45)}})
	compared := 0
	for _, l := range part.est.Landed {
		k := slices.IndexFunc(product.est.Landed, func(m estimate.Consignment) bool { return m.Place == l.Place && m.Consignment == "ONLY" })
		if m := product.est.Landed[k]; len(l.Missing) == 0 {
			for _, pair := range [][2]graph.ID{{l.Goods, m.Goods}, {l.BuyerClears.Total, m.BuyerClears.Total}, {l.AllPaid.Total, m.AllPaid.Total}, {l.AllPaid.KeptBook, m.AllPaid.KeptBook}, {l.AllPaid.Margin, m.AllPaid.Margin}} {
				if compared++; part.rat(pair[0]).Cmp(product.rat(pair[1])) != 0 {
					t.Errorf("%s to %s: %s, as a product %s", part.est.Graph.Node(pair[0]).Label, l.Place, part.rat(pair[0]).FloatString(4), product.rat(pair[1]).FloatString(4))
				}
			}
		} else {
			t.Errorf("%s has no price: %s", l.Place, l.Missing[0].Text())
		}
	}
	if compared != 25 {
		t.Errorf("%d figures compared", compared)
	}
}
