package estimate_test

import (
	"strings"
	"testing"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// toDealers is a shop that sells to a dealer in the United Kingdom at a shelf price
// of 400, less 38 % and 5 %, with duty and tax.
const toDealers = `
rate_cards:
  - {id: card, from: 2026-01-01, exchange: [{from: EUR, to: GBP, kind: selling, rate: 0.8}, {from: EUR, to: GBP, kind: customs, rate: 0.9}]}
parts:
  - {number: P, kind: bought, revision: A, name: part P}
offers:
  - {for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 20}]}
products:
  - number: X
    revision: A
    name: product X
    hs_code: "9405.21"
    origin: "PT"
    trims: [{id: only, name: Only}]
    positions: [{number: 1, part: P, quantity: 1}]
channels:
  - {id: dealer, name: dealers, reseller_margin: 0.38, customer_discount: 0.05, cash_discount: 0.02}
prices:
  - {product: X, channel: dealer, shelf_price: 400}
destinations:
  - {country: "GB", delivery_charge: 0}
`

// A dealer is a business that buys at its own price: the parcel is declared at
// that, and what a consumer pays the dealer stands beside it.
func TestParcelToADealer(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, toDealers), 1)
	for name, want := range map[string]string{
		"goods":              "188.48", // 400 × 0.62 × 0.95 = 235.60 at 0.8
		"declared-goods":     "212.04", // at 0.9
		"duty":               "4.24",   // 2 %
		"tax":                "43.26",  // 20 % of 216.28, at the border
		"buyer-clears/total": "235.98", // 188.48 + 4.24 + 43.26
		"consumer/price":     "384.00", // 400 at 0.8 with 20 %
		"buyer-clears/kept":  "184.71", // 188.48 less 2 %, which is 3.77
		"due-to-seller":      "0.00",
	} {
		if got := s.key("destination/GB/only/" + name); got.Cmp(ft.Rat(want)) != 0 {
			t.Errorf("%s is %s, want %s", name, got.FloatString(6), want)
		}
	}
	// Below GBP 135 a consumer would pay tax at checkout; a dealer accounts for it.
	s = smallSheet(t, smallBook(t, strings.Replace(toDealers, "shelf_price: 400", "shelf_price: 100", 1)), 1)
	if got := s.key("destination/GB/only/tax"); got.Sign() != 0 {
		t.Errorf("a dealer is charged consumer tax of %s", got.FloatString(2))
	}
}

// A price point moves what is charged, and with it duty, tax and fees: where less
// than the margin wanted is kept, that is said.
func TestPricePointThatKeepsTooLittle(t *testing.T) {
	t.Parallel()
	b := demo(t)
	s := evaluatedBatch(t, b, "plain=250", "glow=250")
	for _, l := range s.est.Landed {
		check, ok := s.est.Graph.Find("destination/" + l.Place + "/" + l.Consignment + "/all-paid/keeps-margin")
		if !ok {
			t.Errorf("%s to %s: nothing asks for the margin", l.Consignment, l.Place)
			continue
		}
		margin, err := s.v.Get(l.AllPaid.Margin)
		if err != nil {
			t.Fatal(err)
		}
		wanted := margin.Round(3).GreaterThanOrEqual(b.Prices[0].Margin.Likely)
		if got := s.rat(check).Sign() > 0; got != wanted {
			t.Errorf("%s to %s keeps %s: the check says %t", l.Consignment, l.Place, margin, got)
		}
	}
	// A basket of two kinds: what must be kept is what each must earn.
	mixed := demo(t)
	mixed.Baskets[0].Lines = append(mixed.Baskets[0].Lines, mixed.Baskets[0].Lines[0])
	mixed.Baskets[0].Lines[1].Trim = "plain"
	s = evaluatedBatch(t, mixed, "plain=250", "glow=250")
	id := s.est.Graph
	if at, ok := id.Find("destination/GB/pair/margin-wanted"); !ok || !near(s, at, "0.36") {
		t.Errorf("the margin wanted of a basket of two kinds is not 36 %%")
	}
}

func near(s sheet, id graph.ID, want string) bool {
	diff := s.rat(id)
	diff.Sub(diff, ft.Rat(want))
	return diff.Abs(diff).Cmp(ft.Rat("1e-20")) < 0
}
