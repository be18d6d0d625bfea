package landed_test

import (
	"testing"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

func euroToPound() []rates.Exchange {
	return []rates.Exchange{
		{From: "GBP", To: "EUR", Kind: rates.ForSelling, Rate: *ft.Num("1.25")}, // used the other way round
		{From: "EUR", To: "GBP", Kind: rates.ForCustoms, Rate: *ft.Num("0.9")},
	}
}

// Prices go at the selling rate, declared values at the customs rate.
func TestTwoExchangeRates(t *testing.T) {
	b := setup{to: trade.Destination{Country: "GB", DeliveryCharge: ft.Num("25")}, currency: "EUR", exchange: euroToPound(), own: duty("GB", "0.02"), lines: lamp("200")}.build(t)
	b.want(b.at(""), "goods", "160.00", "delivery", "20.00", "declared-goods", "180.00", "customs-value", "202.50", "duty", "4.05",
		"tax", "41.31", "buyer-clears/total", "225.36", "buyer-clears/kept", "160.00", "buyer-clears/kept-book", "200.00")
}

// What the seller keeps is what the buyer pays less everything owed on.
func TestSellerKeeps(t *testing.T) {
	channel := &trade.Channel{ID: "market", Name: "market", PaymentShare: ft.Num("0.029"), PaymentFixed: ft.Num("0.3"), MarketShare: ft.Num("0.1"), FeeTaxCost: ft.Num("0.2")}
	u := setup{to: trade.Destination{Country: "GB", DeliveryCharge: ft.Num("10")}, channel: channel, lines: []goods{{price: "100", quantity: "1", code: "9405.21", cost: "50"}}}
	b := u.build(t)
	// 132 × 0.129 + 0.3 = 17.328, and a fifth more
	b.want(b.at(""), "buyer-clears/price", "132.00", "buyer-clears/fees", "20.79", "buyer-clears/kept", "79.21", "buyer-clears/profit", "29.21", "buyer-clears/margin", "0.3688")
	b.want(b.at("0"), "buyer-clears/margin", "0") // no price, no margin, and no division by zero
	u.channel = &trade.Channel{ID: "reseller", Name: "reseller", ResellerMargin: ft.Num("0.35")}
	b = u.build(t)
	b.want(b.at(""), "buyer-clears/reseller", "35.00", "buyer-clears/kept", "65.00")
	if b.landed.BuyerClears.AfterReclaim != graph.None {
		t.Error("a consumer reclaims tax")
	}
}

func TestBuyerWhoReclaims(t *testing.T) {
	b := setup{to: trade.Destination{Country: "GB", Buyer: trade.Business, BuyerReclaims: true}, own: duty("GB", "0.02"), lines: lamp("1000")}.build(t)
	b.want(b.at(""), "buyer-clears/total", "1224.00", "buyer-clears/after-reclaim", "1020.00")
	if !b.landed.Reclaims {
		t.Error("the figures do not say that tax is reclaimed")
	}
}

// Within one customs territory there is tax and nothing else.
func TestWithinOneTerritory(t *testing.T) {
	home := setup{to: trade.Destination{Country: "PT"}, lines: lamp("100")}.build(t)
	home.want(home.at(""), "tax", "23.00", "buyer-clears/total", "123.00", "all-paid/total", "123.00", "all-paid/tax", "23.00")
	for name, id := range map[string]graph.ID{"customs value": home.landed.CustomsValue, "duty": home.landed.BuyerClears.Duty, "clearance": home.landed.BuyerClears.Clearance} {
		if id != graph.None {
			t.Errorf("at home there is a %s", name)
		}
	}
	opted := setup{to: trade.Destination{Country: "DE", Registered: true}, lines: lamp("100")}.build(t)
	opted.want(opted.at(""), "tax", "19.00")
	small := setup{to: trade.Destination{Country: "DE"}, lines: lamp("100")}.build(t)
	small.want(small.at(""), "tax-rate", "0.23")
	small.want(small.at("10000.00"), "tax-rate", "0.23", "tax", "2300.00")
	small.want(small.at("10000.01"), "tax-rate", "0.19", "all-paid/tax", "1900.00")
	firm := setup{to: trade.Destination{Country: "DE", Buyer: trade.Business}, lines: lamp("100")}.build(t)
	firm.want(firm.at(""), "tax", "0.00", "buyer-clears/total", "100.00")
}

// The all-paid price goes up to the next price point, or is as entered.
func TestAllPaidPrice(t *testing.T) {
	point := &trade.PricePoint{Step: *ft.Num("10"), Ending: ft.Num("9.90")}
	for name, c := range map[string]struct {
		u    setup
		want string
	}{
		"minor unit":           {setup{to: trade.Destination{Country: "GB"}}, "144.00"},
		"point of the place":   {setup{to: trade.Destination{Country: "GB", PricePoint: point}}, "149.90"},
		"point of the channel": {setup{to: trade.Destination{Country: "GB"}, channel: &trade.Channel{ID: "c", Name: "c", PricePoint: point}}, "149.90"},
		"entered":              {setup{to: trade.Destination{Country: "GB", Delivered: []trade.DeliveredPrice{{Product: "a", Price: *ft.Num("155")}}}}, "155.00"},
		"channel, other money": {setup{to: trade.Destination{Country: "GB"}, currency: "EUR", exchange: euroToPound(), channel: &trade.Channel{ID: "c", Name: "c", PricePoint: point}}, "115.20"},
		"exactly at a point":   {setup{to: trade.Destination{Country: "GB", PricePoint: &trade.PricePoint{Step: *ft.Num("12")}}}, "144.00"},
	} {
		c.u.lines = lamp("120")
		b := c.u.build(t)
		v := b.at("")
		if got := b.Get(v, b.landed.AllPaid.Total); !got.Equal(ft.Num(c.want).Likely) {
			t.Errorf("%s: got %s, want %s", name, got, c.want)
		}
	}
}

// Duty charged on at checkout is taxed and owed on; without registration it is
// due at the door.
func TestFlatDutyBothWays(t *testing.T) {
	u := setup{dispatch: "GB", to: trade.Destination{Country: "DE", Registered: true}, lines: lamp("100")}
	b := u.build(t)
	b.want(b.at(""), "duty", "3.00", "tax", "19.57", "buyer-clears/price", "122.57", "due-at-door", "0.00", "buyer-clears/kept", "100.00")
	u.to.Registered = false
	b = u.build(t)
	b.want(b.at(""), "duty", "3.00", "tax", "19.57", "buyer-clears/price", "100.00", "due-at-door", "22.57", "buyer-clears/kept", "100.00")
}

// Free delivery is in the price already and is not declared a second time.
func TestFreeDeliveryIsNotCountedTwice(t *testing.T) {
	u := setup{to: trade.Destination{Country: "GB", Carrier: "post", DeliveryCharge: ft.Num("0")}, own: duty("GB", "0.02"), exchange: nil,
		carriers: []trade.Carrier{simpleCarrier("GB")}, lines: []goods{{price: "200", quantity: "1", code: "9405.21", parcel: parcel("1000")}}}
	u.carriers[0].Currency = "GBP"
	b := u.build(t)
	b.want(b.at(""), "freight", "9.00", "delivery", "0.00", "customs-value", "200.00", "buyer-clears/total", "244.80", "buyer-clears/kept", "191.00")
}

// Tax rounded in one and line by line differ where halves pile up.
func TestSellerTaxRounding(t *testing.T) {
	three := []goods{{price: "10.02", quantity: "1", code: "9405.21"}, {price: "10.02", quantity: "1", code: "9405.21"}, {price: "10.02", quantity: "1", code: "9405.21"}}
	u := setup{to: trade.Destination{Country: "GB"}, lines: three, own: trade.Rules{}}
	b := u.build(t)
	b.want(b.at(""), "tax", "6.00") // 3 × 2.004
	row, _ := u.context(t).Tables.ImportRuleFor("PT", u.to, "2026-08-03")
	rule := row.Value
	rule.Regimes = append([]trade.Regime(nil), rule.Regimes...)
	rule.Regimes[0].TaxInOne = true
	u.own.ImportRules = []trade.ImportRule{rule}
	b = u.build(t)
	b.want(b.at(""), "tax", "6.01") // 6.012
}

// A preference claimed with origin takes the duty away.
func TestPreferenceClaimed(t *testing.T) {
	own := duty("GB", "0.02")
	own.Tariff = append(own.Tariff, trade.TariffRow{Codes: []string{"9405"}, Territory: "GB", Preference: "trade agreement", Duty: trade.Duty{Share: ft.Num("0")}})
	for claim, want := range map[string]string{"": "20.00", "trade agreement": "0.00"} {
		b := setup{to: trade.Destination{Country: "GB", Preference: claim}, own: own, lines: lamp("1000")}.build(t)
		b.want(b.at(""), "duty", want)
	}
}

// The processing fee of an all-paid sale falls on the goods without freight.
func TestChargesOfAnAllPaidSale(t *testing.T) {
	to := trade.Destination{Country: "US", DeliveryCharge: ft.Num("500"), Delivered: []trade.DeliveredPrice{{Product: "a", Price: *ft.Num("10500")}}}
	b := setup{to: to, lines: []goods{{price: "10000", quantity: "1", code: "9405.99"}}, own: duty("US", "0")}.build(t)
	b.want(b.at(""), "all-paid/regime/entry/implied-value", "10000.00", "charges", "34.64", "all-paid/charges", "34.64", "all-paid/kept", "9965.36")
}
