package landed_test

import (
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// worldwide are consignments to every place with reference rows.
func worldwide() map[string]setup {
	out := map[string]setup{}
	for _, c := range []bom.Country{"PT", "DE", "FR", "IE", "GB", "CH", "US", "NO", "CA", "AU", "NZ", "JP"} {
		for _, registered := range []bool{false, true} {
			u := setup{to: trade.Destination{Country: c, Registered: registered, DeliveryCharge: ft.Num("12.5")}, lines: lamp("50")}
			out[fmt.Sprintf("%s registered %t", c, registered)] = u
		}
	}
	out["CA-ON"] = setup{to: trade.Destination{Country: "CA", Region: "ON", DeliveryCharge: ft.Num("12.5")}, lines: lamp("50")}
	out["DE from GB"] = setup{dispatch: "GB", to: trade.Destination{Country: "DE"}, lines: lamp("50")}
	return out
}

// sweep runs over prices from a few cents to some thousands, dense around the
// limits.
func sweep() []string {
	return []string{"0.05", "1.37", "19.99", "20", "20.01", "61", "63.5", "134.99", "135", "135.01", "149.99", "150.01",
		"999.99", "1000", "1000.01", "2500", "2999.99", "3000", "9999", "10001", "54321.09"}
}

func TestLandedPriceIsNeverBelowThePrice(t *testing.T) {
	for name, u := range worldwide() {
		b := u.build(t)
		for _, price := range sweep() {
			v := b.at(price)
			total, goods := b.Get(v, b.landed.BuyerClears.Total), b.Get(v, b.landed.Goods)
			if total.LessThan(goods) {
				t.Errorf("%s at %s: landed price %s is below the price %s", name, price, total, goods)
			}
			if paid := b.Get(v, b.landed.AllPaid.Total); paid.LessThan(total) {
				t.Errorf("%s at %s: all-paid price %s is below the landed price where the buyer clears %s", name, price, paid, total)
			}
		}
	}
}

func TestDutyRisesWithThePriceWithinARegime(t *testing.T) {
	for name, u := range worldwide() {
		b := u.build(t)
		if b.landed.BuyerClears.Regime == graph.None {
			continue
		}
		regime, last := decimal.Zero, decimal.Zero
		for _, price := range sweep() {
			v := b.at(price)
			r, d := b.Get(v, b.landed.BuyerClears.Regime), b.Get(v, b.landed.BuyerClears.Duty)
			if r.Equal(regime) && d.LessThan(last) {
				t.Errorf("%s at %s: duty falls from %s to %s", name, price, last, d)
			}
			regime, last = r, d
		}
	}
}

// What buyer and seller pay and get adds up, whoever collects.
func TestMoneyAddsUp(t *testing.T) {
	channel := &trade.Channel{ID: "direct", Name: "direct", PaymentShare: ft.Num("0.029"), PaymentFixed: ft.Num("0.3"), MarketShare: ft.Num("0.05"), ResellerMargin: ft.Num("0.1")}
	for name, u := range worldwide() {
		u.channel = channel
		b := u.build(t)
		for _, price := range sweep() {
			v := b.at(price)
			get := func(id graph.ID) decimal.Decimal {
				if id == graph.None {
					return decimal.Zero
				}
				return b.Get(v, id)
			}
			delivery := b.Get(v, b.id("delivery"))
			// A reseller has at most its tenth of the goods in an all-in price, of which what is paid on
			// with them is no part.
			paid := b.landed.AllPaid
			goods := get(paid.Price).Sub(decimal.Sum(get(paid.Tax), get(paid.Duty), get(paid.Charges), get(paid.Clearance), delivery))
			if has := get(paid.Reseller); goods.GreaterThan(decimal.New(20, 0)) && (!has.IsPositive() || has.GreaterThan(goods.Shift(-1).Add(decimal.New(1, 0)))) {
				t.Errorf("%s at %s: the reseller has %s of goods for %s", name, price, has, goods)
			}
			for way, s := range map[string]struct{ total, rest decimal.Decimal }{
				"buyer clears": {get(b.landed.BuyerClears.Total), decimal.Sum(get(b.landed.BuyerClears.Kept), get(b.landed.BuyerClears.Duty), get(b.landed.BuyerClears.Charges), get(b.landed.BuyerClears.Tax), get(b.landed.BuyerClears.Clearance), get(b.landed.BuyerClears.Fees), get(b.landed.BuyerClears.Reseller), delivery)},
				"all paid":     {get(b.landed.AllPaid.Total), decimal.Sum(get(b.landed.AllPaid.Kept), get(b.landed.AllPaid.Duty), get(b.landed.AllPaid.Charges), get(b.landed.AllPaid.Tax), get(b.landed.AllPaid.Clearance), get(b.landed.AllPaid.Fees), get(b.landed.AllPaid.Reseller), delivery)},
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
		if small.Graph.Len() != large.Graph.Len() {
			t.Fatalf("%s: %d and %d figures", name, small.Graph.Len(), large.Graph.Len())
		}
		for i := range small.Graph.Len() {
			a, b := small.Graph.Node(graph.ID(i)), large.Graph.Node(graph.ID(i))
			if a.Key != b.Key || a.Op != b.Op {
				t.Fatalf("%s: %s %s became %s %s", name, a.Op, a.Key, b.Op, b.Key)
			}
		}
	}
}

// What is read out of an all-paid price of exactly the landed price where the buyer clears is
// what was declared there, where no rounding ladder and no clearance intervene.
func TestBackwardMeetsForward(t *testing.T) {
	for _, c := range []bom.Country{"GB", "NO", "CA", "AU", "NZ", "CH"} {
		for _, inland := range []string{"0", "0.3"} {
			d := trade.Destination{Country: c, DeliveryCharge: ft.Num("120"), InlandShare: ft.Num(inland)}
			u := setup{to: d, lines: []goods{{price: "4000", quantity: "1", code: "9405.21"}, {price: "1000", quantity: "2", code: "8504.40"}},
				own: trade.Rules{ImportCharges: free(territory(c)), Tariff: []trade.TariffRow{
					{Codes: []string{"9405"}, Territory: territory(c), Duty: trade.Duty{Share: ft.Num("0.05")}},
					{Codes: []string{"8504"}, Territory: territory(c), Duty: trade.Duty{Share: ft.Num("0.01"), PerPiece: ft.Num("7")}}}}}
			b := u.build(t)
			v := b.at("")
			forward, back := b.Get(v, b.id("customs-value")), b.Get(v, b.id("all-paid/regime/"+b.lastRegime()+"/implied-value"))
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
		out = append(out, trade.ImportCharge{ID: id, Place: place, Amount: ft.Num("0"), Cite: "test"})
	}
	return out
}

func (b built) lastRegime() string { return b.landed.Regimes[len(b.landed.Regimes)-1].ID }

func territory(c bom.Country) string {
	if c == "CH" {
		return "CHLI"
	}
	return string(c)
}
