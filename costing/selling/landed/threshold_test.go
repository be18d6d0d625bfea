package landed_test

import (
	"strconv"
	"strings"
	"testing"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

// Each limit is tried at the limit and one minor unit above or below.
func TestRegimeAtTheEdgeOfAThreshold(t *testing.T) {
	registered := func(c trade.Destination) trade.Destination { c.Registered = true; return c }
	for _, c := range []struct {
		name          string
		setup         setup
		inside, first string // the highest price within, the lowest beyond
	}{
		{"GB, closed", setup{to: trade.Destination{Country: "GB"}}, "135.00", "135.01"},
		{"EU, closed", setup{dispatch: "GB", to: trade.Destination{Country: "DE"}}, "150.00", "150.01"},
		{"EU, registered", setup{dispatch: "GB", to: registered(trade.Destination{Country: "IE"})}, "150.00", "150.01"},
		{"NO, open", setup{to: registered(trade.Destination{Country: "NO"})}, "2999.99", "3000.00"},
		{"CA, closed", setup{to: trade.Destination{Country: "CA"}}, "20.00", "20.01"},
		{"JP, closed", setup{to: trade.Destination{Country: "JP"}}, "10000", "10001"},
		{"AU, closed", setup{to: trade.Destination{Country: "AU"}}, "1000.00", "1000.01"},
		{"NZ, registered", setup{to: registered(trade.Destination{Country: "NZ"})}, "1000.00", "1000.01"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.setup.lines = lamp("50")
			b := c.setup.build(t)
			b.want(b.at(c.inside), "regime", "1")
			b.want(b.at(c.first), "regime", strconv.Itoa(len(b.landed.Regimes)))
		})
	}
}

// A price is compared as it is declared, rounded to the minor unit.
func TestThresholdComparesRoundedAmounts(t *testing.T) {
	b := setup{to: trade.Destination{Country: "GB"}, currency: "EUR", lines: lamp("100"), exchange: []rates.Exchange{
		{From: "EUR", To: "GBP", Kind: rates.ForSelling, Rate: *ft.Num("0.9")},
		{From: "EUR", To: "GBP", Kind: rates.ForCustoms, Rate: *ft.Num("0.86")},
	}}.build(t)
	b.want(b.at("156.98"), "intrinsic-value", "135.00", "regime", "1") // 135.0028
	b.want(b.at("156.99"), "intrinsic-value", "135.01", "regime", "2") // 135.0114
}

// One item over a limit per item puts the whole consignment outside; many items
// below it stay inside.
func TestThresholdPerItem(t *testing.T) {
	to := trade.Destination{Country: "NO", Registered: true}
	many := setup{to: to, lines: []goods{{price: "2500", quantity: "4", code: "9405.21"}}}.build(t)
	many.want(many.at(""), "regime", "1", "intrinsic-value", "10000")
	one := setup{to: to, lines: []goods{{price: "100", quantity: "1", code: "9405.21"}, {price: "3000", quantity: "1", code: "9405.29"}}}.build(t)
	one.want(one.at(""), "regime", "2")
}

// The all-paid price has its own regime: the one whose value, read out of the
// price, keeps within its own threshold.
func TestAllPaidTakesTheConsistentRegime(t *testing.T) {
	price := func(text string) trade.Destination {
		return trade.Destination{Country: "GB", Delivered: []trade.DeliveredPrice{{Product: "a", Price: *ft.Num(text)}}}
	}
	for _, c := range []struct{ price, regime, tax, duty string }{
		{"162.00", "1", "27.00", "0.00"}, // 135 without tax
		{"162.01", "2", "27.00", "2.65"}, // above: duty is in the price too
		{"244.80", "2", "40.80", "4.00"}, // (244.80/1.2)/1.02 = 200
		{"120.00", "1", "20.00", "0.00"},
	} {
		b := setup{to: price(c.price), lines: lamp("100")}.build(t)
		b.want(b.at(""), "all-paid/regime", c.regime, "all-paid/tax", c.tax, "all-paid/duty", c.duty, "all-paid/total", c.price)
	}
}

// A limit in another currency is converted at the customs rate.
func TestLimitInAnotherCurrency(t *testing.T) {
	b := setup{dispatch: "GB", to: trade.Destination{Country: "PL"}, lines: lamp("100"), exchange: []rates.Exchange{
		{From: "EUR", To: "PLN", Kind: rates.ForCustoms, Rate: *ft.Num("4.2567")}}}.build(t)
	b.want(b.at("638.50"), "regime", "1", "duty", "12.77") // limit 638.505, duty 12.7701
	b.want(b.at("638.51"), "regime", "2")
}

// Commercial goods bear the tax of a Canadian province only when they are sold
// on.
func TestProvincialTaxFallsOnConsumers(t *testing.T) {
	for place, want := range map[string][2]string{"ON": {"13.91", "5.35"}, "QC": {"16.02", "5.35"}, "BC": {"12.84", "5.35"}, "AB": {"5.35", "5.35"}} {
		for i, buyer := range []trade.BuyerKind{trade.Consumer, trade.Business} {
			b := setup{to: trade.Destination{Country: "CA", Region: place, Buyer: buyer}, own: duty("CA", "0.07"), lines: lamp("100")}.build(t)
			b.want(b.at(""), "tax", want[i])
		}
	}
	b := setup{to: trade.Destination{Country: "CA"}, lines: lamp("100")}.build(t)
	if f := b.Graph.Findings(); len(f) == 0 || f[0].Severity != graph.Warning || !strings.Contains(f[0].Message, "write the region, one of AB, BC, MB") {
		t.Errorf("no province is entered, and the findings are %v", f)
	}
}
