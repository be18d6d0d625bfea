package landed_test

import (
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/trade"
)

func carried(c trade.Carrier, lines ...goods) setup {
	return setup{to: trade.Destination{Country: "DE", Carrier: c.ID}, carriers: []trade.Carrier{c}, lines: lines}
}

// Surcharges that bear fuel join the table price before it, others after.
func TestFuelAndSurcharges(t *testing.T) {
	c := simpleCarrier("DE")
	c.Fuel = num("0.27")
	c.Surcharges = []trade.Surcharge{
		{ID: "remote", Name: "remote area", Amount: num("31"), BearsFuel: true},
		{ID: "paper", Name: "paperwork", Amount: num("1.5")},
		{ID: "peak", Name: "peak", Share: num("0.1")},
	}
	b := carried(c, goods{price: "100", quantity: "2", code: "9405.21", parcel: parcel("1000")}).build(t)
	// (9 + 31) × 1.27 + 1.5 + 0.9 = 53.2, two parcels
	b.want(b.at(""), "parcel/a/fuel", "10.80", "parcel/a/freight", "53.20", "freight", "106.40", "delivery", "106.40")
}

func TestPriceAboveTheLastBand(t *testing.T) {
	c := simpleCarrier("DE")
	c.Zones[0].PerUnitAbove = num("2")
	for mass, want := range map[string]string{"2000": "9.00", "2001": "10.70", "10000": "10.70", "12500": "15.70"} {
		b := carried(c, goods{price: "100", quantity: "1", code: "9405.21", parcel: parcel(mass)}).build(t)
		b.want(b.at(""), "freight", want)
	}
}

// A basket with its own parcel pays for one; without, for each piece.
func TestBasketParcel(t *testing.T) {
	lines := []goods{{price: "100", quantity: "2", code: "9405.21", parcel: parcel("1000")}, {price: "50", quantity: "1", code: "8504.40", parcel: parcel("500")}}
	u := carried(simpleCarrier("DE"), lines...)
	u.basket = &trade.Basket{ID: "gift"}
	b := u.build(t)
	b.want(b.at(""), "freight", "27.00")
	u.basket = &trade.Basket{ID: "gift", Parcel: &bom.Parcel{LengthMM: bom.Whole(400), WidthMM: bom.Whole(300), HeightMM: bom.Whole(200), MassG: bom.Whole(2500)}}
	b = u.build(t)
	b.want(b.at(""), "freight", "10.70")
}

// Pieces share cartons: full ones, one more for what is left, and the parcel of a
// piece for a single one.
func TestPiecesShareCartons(t *testing.T) {
	carton := &bom.Carton{Pieces: bom.Whole(5), LengthMM: bom.Whole(400), WidthMM: bom.Whole(300), HeightMM: bom.Whole(200), EmptyG: bom.Whole(500)}
	for pieces, want := range map[string]string{
		"1":  "9.00",  // its parcel of 1 kg
		"2":  "10.70", // a carton of 2.5 kg
		"4":  "10.70",
		"5":  "10.70", // a full carton of 5.5 kg
		"6":  "19.70", // and a parcel
		"10": "21.40",
		"12": "32.10", // and a carton of 2.5 kg
	} {
		b := carried(simpleCarrier("DE"), goods{price: "100", quantity: pieces, code: "9405.21", parcel: parcel("1000"), carton: carton}).build(t)
		b.want(b.at(""), "freight", want)
	}
	heavy := *carton
	heavy.Pieces = bom.Whole(20)
	b := carried(simpleCarrier("DE"), goods{price: "100", quantity: "3", code: "9405.21", parcel: parcel("1000"), carton: &heavy}).build(t)
	b.want(b.at(""), "freight", "10.70") // a full one would not be taken, and none goes
	b = carried(simpleCarrier("DE"), goods{price: "100", quantity: "3", code: "9405.21", parcel: parcel("1000")}).build(t)
	b.want(b.at(""), "freight", "27.00")
}

// A carrier that invoices in other money.
func TestCarrierInOtherMoney(t *testing.T) {
	c := simpleCarrier("DE")
	c.Currency = "GBP"
	c.Insurance = &trade.Insurance{Rate: *num("0.005"), Minimum: num("2")}
	u := carried(c, goods{price: "100", quantity: "1", code: "9405.21", parcel: parcel("1000")})
	u.exchange = euroToPound()
	b := u.build(t)
	b.want(b.at(""), "freight-as-invoiced", "9.00", "freight", "11.25", "insurance-as-invoiced", "2.00", "insurance", "2.50", "delivery", "13.75")
}

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
		"share":          {trade.Clearance{Share: num("0.02"), Minimum: num("1")}, "991", "4.48"}, // of 20 + 204
		"minimum, taxed": {trade.Clearance{Share: num("0.02"), Minimum: num("12.50"), Tax: num("0.19")}, "991", "14.88"},
		"maximum":        {trade.Clearance{Fixed: num("3"), Share: num("0.02"), Maximum: num("2")}, "991", "5.00"},
		"not cleared":    {trade.Clearance{Fixed: num("12")}, "120", "0.00"},
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
	c.Clearance = []trade.Clearance{{Places: []string{"NZ"}, Currency: "NZD", Fixed: num("12.5")}}
	b := setup{to: trade.Destination{Country: "NZ", Carrier: "post"}, carriers: []trade.Carrier{c}, own: duty("NZ", "0.05"),
		lines: []goods{{price: "100", quantity: "1", code: "9405.21", parcel: parcel("1000")}}}.build(t)
	b.want(b.at(""), "charges", "2.54", "clearance", "0.00")
	b.want(b.at("1001"), "clearance", "12.50")
}
