package landed_test

import (
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/trade"
)

// worldwide are consignments to every place with reference rows.
func worldwide() map[string]setup {
	out := map[string]setup{}
	for _, c := range []bom.Country{"PT", "DE", "FR", "IE", "GB", "CH", "US", "NO", "CA", "AU", "NZ", "JP"} {
		for _, registered := range []bool{false, true} {
			u := setup{to: trade.Destination{Country: c, Registered: registered, DeliveryCharge: num("12.5")}, lines: lamp("50")}
			out[fmt.Sprintf("%s registered %t", c, registered)] = u
		}
	}
	out["CA-ON"] = setup{to: trade.Destination{Country: "CA", Region: "ON", DeliveryCharge: num("12.5")}, lines: lamp("50")}
	out["DE from GB"] = setup{dispatch: "GB", to: trade.Destination{Country: "DE"}, lines: lamp("50")}
	return out
}

// sweep runs over prices from a few cents to some thousands, dense around the
// limits.
func sweep() []string {
	return []string{"0.05", "1.37", "19.99", "20", "20.01", "61", "63.5", "134.99", "135", "135.01", "149.99", "150.01",
		"999.99", "1000", "1000.01", "2500", "2999.99", "3000", "9999", "10001", "54321.09"}
}

func must(t *testing.T, v *exact.Values, id graph.ID) decimal.Decimal {
	t.Helper()
	d, err := v.Get(id)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestLandedPriceIsNeverBelowThePrice(t *testing.T) {
	for name, u := range worldwide() {
		b := u.build(t)
		for _, price := range sweep() {
			v := b.at(price)
			total, goods := must(t, v, b.figures.AtPlace.Total), must(t, v, b.figures.Goods)
			if total.LessThan(goods) {
				t.Errorf("%s at %s: landed price %s is below the price %s", name, price, total, goods)
			}
			if paid := must(t, v, b.figures.DutyPaid.Total); paid.LessThan(total) {
				t.Errorf("%s at %s: duty-paid price %s is below the landed price at place %s", name, price, paid, total)
			}
		}
	}
}

func TestDutyRisesWithThePriceWithinARegime(t *testing.T) {
	for name, u := range worldwide() {
		b := u.build(t)
		if b.figures.AtPlace.Regime == graph.None {
			continue
		}
		regime, last := decimal.Zero, decimal.Zero
		for _, price := range sweep() {
			v := b.at(price)
			r, d := must(t, v, b.figures.AtPlace.Regime), must(t, v, b.figures.AtPlace.Duty)
			if r.Equal(regime) && d.LessThan(last) {
				t.Errorf("%s at %s: duty falls from %s to %s", name, price, last, d)
			}
			regime, last = r, d
		}
	}
}

// What buyer and seller pay and get adds up, whoever collects.
func TestMoneyAddsUp(t *testing.T) {
	channel := &trade.Channel{ID: "direct", Name: "direct", PaymentShare: num("0.029"), PaymentFixed: num("0.3"), MarketShare: num("0.05"), ResellerMargin: num("0.1")}
	for name, u := range worldwide() {
		u.channel = channel
		b := u.build(t)
		for _, price := range sweep() {
			v := b.at(price)
			get := func(id graph.ID) decimal.Decimal {
				if id == graph.None {
					return decimal.Zero
				}
				return must(t, v, id)
			}
			delivery := must(t, v, b.id("delivery"))
			for way, s := range map[string]struct{ total, rest decimal.Decimal }{
				"at place":  {get(b.figures.AtPlace.Total), decimal.Sum(get(b.figures.AtPlace.Kept), get(b.figures.AtPlace.Duty), get(b.figures.AtPlace.Charges), get(b.figures.AtPlace.Tax), get(b.figures.AtPlace.Clearance), get(b.figures.AtPlace.Fees), get(b.figures.AtPlace.Reseller), delivery)},
				"duty paid": {get(b.figures.DutyPaid.Total), decimal.Sum(get(b.figures.DutyPaid.Kept), get(b.figures.DutyPaid.Duty), get(b.figures.DutyPaid.Charges), get(b.figures.DutyPaid.Tax), get(b.figures.DutyPaid.Clearance), get(b.figures.DutyPaid.Fees), get(b.figures.DutyPaid.Reseller), delivery)},
			} {
				// Delivery is rounded for the buyer and not for the seller.
				if s.total.Sub(s.rest).Abs().GreaterThan(decimal.New(1, 0)) || u.to.Country != "JP" && !s.total.Equal(s.rest) {
					t.Errorf("%s at %s, %s: %s is paid and %s shared out", name, price, way, s.total, s.rest)
				}
			}
		}
	}
}

// Structure follows from definitions and day alone.
func TestStructureDoesNotDependOnAmounts(t *testing.T) {
	for name, u := range worldwide() {
		small := u.build(t)
		u.lines = lamp("98765.43")
		u.lines[0].quantity = "1000"
		large := u.build(t)
		if small.graph.Len() != large.graph.Len() {
			t.Fatalf("%s: %d and %d figures", name, small.graph.Len(), large.graph.Len())
		}
		for i := range small.graph.Len() {
			a, b := small.graph.Node(graph.ID(i)), large.graph.Node(graph.ID(i))
			if a.Key != b.Key || a.Op != b.Op {
				t.Fatalf("%s: %s %s became %s %s", name, a.Op, a.Key, b.Op, b.Key)
			}
		}
	}
}

// What is read out of a duty-paid price of exactly the landed price at place is
// what was declared there, where no rounding ladder and no clearance intervene.
func TestBackwardMeetsForward(t *testing.T) {
	for _, c := range []bom.Country{"GB", "NO", "CA", "AU", "NZ", "CH"} {
		for _, inland := range []string{"0", "0.3"} {
			d := trade.Destination{Country: c, DeliveryCharge: num("120"), InlandShare: num(inland)}
			u := setup{to: d, lines: []goods{{price: "4000", quantity: "1", code: "9405.21"}, {price: "1000", quantity: "2", code: "8504.40"}},
				own: trade.Rules{ImportCharges: free(territory(c)), Tariff: []trade.TariffRow{
					{Codes: []string{"9405"}, Territory: territory(c), Duty: trade.Duty{Share: num("0.05")}},
					{Codes: []string{"8504"}, Territory: territory(c), Duty: trade.Duty{Share: num("0.01"), PerPiece: num("7")}}}}}
			b := u.build(t)
			v := b.at("")
			forward, back := must(t, v, b.id("customs-value")), must(t, v, b.id("duty-paid/regime/"+b.lastRegime()+"/implied-value"))
			// Duty and tax are rounded, in Norway and Switzerland to whole units.
			if forward.Sub(back).Abs().GreaterThan(decimal.New(1, 0)) {
				t.Errorf("%s, inland share %s: declared %s, read back %s", c, inland, forward, back)
			}
		}
	}
}

// free replaces the entry charges of a place, which a price does not show apart.
func free(place string) []trade.ImportCharge {
	var out []trade.ImportCharge
	for _, id := range []bom.ID{"processing", "processing_from_10000", "biosecurity", "entry"} {
		out = append(out, trade.ImportCharge{ID: id, Place: place, Amount: num("0"), Cite: "test"})
	}
	return out
}

func (b built) lastRegime() string { return b.figures.Regimes[len(b.figures.Regimes)-1].ID }

func territory(c bom.Country) string {
	if c == "CH" {
		return "CHLI"
	}
	return string(c)
}
