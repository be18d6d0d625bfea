package estimate_test

import (
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// abroad buys a part and a process in dollars and sells in pounds.
const abroad = `
rate_cards:
  - id: card
    from: 2026-01-01
    exchange:
      - {from: EUR, to: USD, kind: selling, rate: 1.25}
      - {from: USD, to: EUR, kind: selling, rate: 0.86}
      - {from: EUR, to: GBP, kind: selling, rate: 0.87}
      - {from: EUR, to: GBP, kind: buying, rate: 0.5}
      - {from: EUR, to: GBP, kind: customs, rate: 0.88}
      - {from: USD, to: EUR, kind: buying, rate: 0.90}
parts:
  - {number: P, kind: bought, revision: A, name: part P}
offers:
  - {for: P, supplier: S, unit: piece, currency: USD, breaks: [{from: 1, price: 20}]}
outside_processes:
  - {id: N, name: nickel, supplier: S, currency: USD, piece_price: 10}
products:
  - number: X
    revision: A
    name: product X
    hs_code: "9405.21"
    origin: "PT"
    trims: [{id: only, name: Only}]
    positions: [{number: 1, part: P, quantity: 1}]
    routing: [{number: 10, name: plate, kind: outside, treatment: {process: N}}]
channels: [{id: shop, name: own shop}]
prices: [{product: X, channel: shop, shelf_price: 100}]
destinations: [{country: "GB", channel: shop, registered: true, delivery_charge: 0}]
`

// TestPurchasesAreConvertedAtTheBuyingRate: what is bought goes at the buying rate,
// what is sold at the selling rate, what customs looks at at theirs.
func TestPurchasesAreConvertedAtTheBuyingRate(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, abroad), 1)
	ft.Same(t, "full cost", s.rat(s.est.Variants[0].Full), ft.Rat("27"))
	ft.Same(t, "goods", s.rat(s.est.Landed[0].Goods), ft.Rat("87"))
	ft.Same(t, "customs value", s.rat(s.est.Landed[0].CustomsValue), ft.Rat("88"))
	if f := notesOn(s.est, "exchange/"); len(f) > 0 {
		t.Errorf("told: %v", f)
	}
}

// TestNoBuyingRate: without a buying rate the selling rate is used, with one note at
// it; a rate entered in the direction asked for goes before its inverse, wherever
// they stand.
func TestNoBuyingRate(t *testing.T) {
	t.Parallel()
	b := smallBook(t, strings.Replace(abroad, "      - {from: USD, to: EUR, kind: buying, rate: 0.90}\n", "", 1))
	for range 2 {
		s := smallSheet(t, b, 1)
		ft.Same(t, "full cost", s.rat(s.est.Variants[0].Full), ft.Rat("25.8"))
		f := notesOn(s.est, "exchange/")
		if len(f) != 1 || f[0].Key != "exchange/selling/USD-EUR" || f[0].Severity != graph.Note || !strings.HasPrefix(f[0].Path, "rate_cards[0].exchange[") ||
			!strings.Contains(f[0].Message, "has no buying rate from USD to EUR") {
			t.Errorf("told: %v", f)
		}
		slices.Reverse(b.RateCards[0].Exchange)
	}
	b.RateCards[0].Exchange = slices.DeleteFunc(b.RateCards[0].Exchange, func(x rates.Exchange) bool { return x.From == "USD" || x.To == "USD" })
	list := lacking(t, b, smallMix())
	says(t, list, "exchange rate from USD to EUR")
}

func notesOn(est *estimate.Estimate, prefix string) (out []graph.Finding) {
	for _, f := range est.Graph.Findings() {
		if strings.HasPrefix(f.Key, prefix) {
			out = append(out, f)
		}
	}
	return out
}
