package landed_test

import (
	"testing"

	"kerfbook/costing/rates"
)

// Each limit is tried at the limit and one minor unit above or below.
func TestRegimeAtTheEdgeOfAThreshold(t *testing.T) {
	registered := func(c rates.Destination) rates.Destination { c.Registered = true; return c }
	for _, c := range []struct {
		name          string
		setup         setup
		inside, first string // the highest price within, the lowest beyond
	}{
		{"GB, closed", setup{to: rates.Destination{Country: "GB"}}, "135.00", "135.01"},
		{"EU, closed", setup{dispatch: "GB", to: rates.Destination{Country: "DE"}}, "150.00", "150.01"},
		{"EU, registered", setup{dispatch: "GB", to: registered(rates.Destination{Country: "IE"})}, "150.00", "150.01"},
		{"NO, open", setup{to: registered(rates.Destination{Country: "NO"})}, "2999.99", "3000.00"},
		{"CA, closed", setup{to: rates.Destination{Country: "CA"}}, "20.00", "20.01"},
		{"JP, closed", setup{to: rates.Destination{Country: "JP"}}, "10000", "10001"},
		{"AU, closed", setup{to: rates.Destination{Country: "AU"}}, "1000.00", "1000.01"},
		{"NZ, registered", setup{to: registered(rates.Destination{Country: "NZ"})}, "1000.00", "1000.01"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.setup.lines = lamp("50")
			b := c.setup.build(t)
			b.want(b.at(c.inside), "regime", "1")
			b.want(b.at(c.first), "regime", "2")
		})
	}
}

// A price is compared as it is declared, rounded to the minor unit.
func TestThresholdComparesRoundedAmounts(t *testing.T) {
	b := setup{to: rates.Destination{Country: "GB"}, currency: "EUR", lines: lamp("100"), exchange: []rates.Exchange{
		{From: "EUR", To: "GBP", Kind: rates.ForSelling, Rate: *num("0.9")},
		{From: "EUR", To: "GBP", Kind: rates.ForCustoms, Rate: *num("0.86")},
	}}.build(t)
	b.want(b.at("156.98"), "intrinsic-value", "135.00", "regime", "1") // 135.0028
	b.want(b.at("156.99"), "intrinsic-value", "135.01", "regime", "2") // 135.0114
}

// One item over a limit per item puts the whole consignment outside; many items
// below it stay inside.
func TestThresholdPerItem(t *testing.T) {
	to := rates.Destination{Country: "NO", Registered: true}
	many := setup{to: to, lines: []goods{{price: "2500", quantity: "4", code: "9405.21"}}}.build(t)
	many.want(many.at(""), "regime", "1", "intrinsic-value", "10000")
	one := setup{to: to, lines: []goods{{price: "100", quantity: "1", code: "9405.21"}, {price: "3000", quantity: "1", code: "9405.29"}}}.build(t)
	one.want(one.at(""), "regime", "2")
}

// The duty-paid price has its own regime: the one whose value, read out of the
// price, keeps within its own threshold.
func TestDutyPaidTakesTheConsistentRegime(t *testing.T) {
	price := func(text string) rates.Destination {
		return rates.Destination{Country: "GB", Delivered: []rates.DeliveredPrice{{Product: "a", Price: *num(text)}}}
	}
	for _, c := range []struct{ price, regime, tax, duty string }{
		{"162.00", "1", "27.00", "0.00"}, // 135 without tax
		{"162.01", "2", "27.00", "2.65"}, // above: duty is in the price too
		{"244.80", "2", "40.80", "4.00"}, // (244.80/1.2)/1.02 = 200
		{"120.00", "1", "20.00", "0.00"},
	} {
		b := setup{to: price(c.price), lines: lamp("100")}.build(t)
		b.want(b.at(""), "duty-paid/regime", c.regime, "duty-paid/tax", c.tax, "duty-paid/duty", c.duty, "duty-paid/total", c.price)
	}
}

// A limit in another currency is converted at the customs rate.
func TestLimitInAnotherCurrency(t *testing.T) {
	b := setup{dispatch: "GB", to: rates.Destination{Country: "PL"}, lines: lamp("100"), exchange: []rates.Exchange{
		{From: "EUR", To: "PLN", Kind: rates.ForCustoms, Rate: *num("4.2567")}}}.build(t)
	b.want(b.at("638.50"), "regime", "1", "duty", "12.77") // limit 638.505, duty 12.7701
	b.want(b.at("638.51"), "regime", "2")
}
