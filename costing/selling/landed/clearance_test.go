package landed_test

import (
	"testing"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/trade"
)

// Clearance: a share of what is advanced within its limits, tax on the whole,
// and nothing where nothing is advanced.
func TestClearance(t *testing.T) {
	c := simpleCarrier("GB")
	c.Currency = "GBP"
	u := setup{to: trade.Destination{Country: "GB", Carrier: "post"}, carriers: []trade.Carrier{c}, own: duty("GB", "0.02"),
		lines: []goods{{price: "1000", quantity: "1", code: "9405.21", parcel: parcel("1000")}}}
	for name, x := range map[string]struct {
		terms trade.Clearance
		price string
		want  string
	}{
		"share":          {trade.Clearance{Share: ft.Num("0.02"), Minimum: ft.Num("1")}, "991", "4.48"}, // of 20 + 204
		"minimum, taxed": {trade.Clearance{Share: ft.Num("0.02"), Minimum: ft.Num("12.50"), Tax: ft.Num("0.19")}, "991", "14.88"},
		"maximum":        {trade.Clearance{Fixed: ft.Num("3"), Share: ft.Num("0.02"), Maximum: ft.Num("2")}, "991", "5.00"},
		"not cleared":    {trade.Clearance{Fixed: ft.Num("12")}, "120", "0.00"},
	} {
		x.terms.Places, x.terms.Currency = []string{"GB"}, "GBP"
		u.carriers[0].Clearance = []trade.Clearance{x.terms}
		b := u.build(t)
		t.Log(name)
		b.want(b.at(x.price), "clearance", x.want)
	}
}

// A levy alone is no reason for a fee for clearance.
func TestNothingToClear(t *testing.T) {
	c := simpleCarrier("NZ")
	c.Currency = "NZD"
	c.Clearance = []trade.Clearance{{Places: []string{"NZ"}, Currency: "NZD", Fixed: ft.Num("12.5")}}
	b := setup{to: trade.Destination{Country: "NZ", Carrier: "post"}, carriers: []trade.Carrier{c}, own: duty("NZ", "0.05"),
		lines: []goods{{price: "100", quantity: "1", code: "9405.21", parcel: parcel("1000")}}}.build(t)
	b.want(b.at(""), "charges", "2.54", "clearance", "0.00")
	b.want(b.at("1001"), "clearance", "12.50")
}
