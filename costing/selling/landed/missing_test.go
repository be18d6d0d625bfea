package landed_test

import (
	"errors"
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/reference"
	"kerfbook/costing/selling/landed"
	"kerfbook/costing/trade"
)

// A gap in the book is a typed error that says what to add and where.
func TestMissing(t *testing.T) {
	gb := trade.Destination{Country: "GB"}
	for _, c := range []struct {
		name       string
		setup      setup
		path, text string
	}{
		{"exchange rate", setup{to: gb, currency: "EUR"}, "rate_cards[0].exchange", "customs exchange rate from EUR to GBP"},
		{"currency", setup{to: trade.Destination{Country: "BR"}, currency: "EUR"}, "rules.countries", "currency of BR"},
		{"rule for the day", setup{to: gb, day: "2020-06-01"}, "rules.import_rules", "no import rule for goods from PT on 2020-06-01"},
		{"tax rate", setup{dispatch: "US", to: trade.Destination{Country: "US"}}, "rules.taxes", "no tax rate of US"},
		{"carrier", setup{to: trade.Destination{Country: "DE", Carrier: "post"}}, "destinations[0].carrier", "no carrier post"},
		{"zone", setup{to: trade.Destination{Country: "DE", Carrier: "post"}, carriers: []trade.Carrier{{ID: "post", Currency: "EUR"}}}, "carriers[0].zones", "no zone with DE"},
		{"parcel", setup{to: trade.Destination{Country: "DE", Carrier: "post"}, carriers: []trade.Carrier{simpleCarrier("DE")}}, "products", "no parcel"},
		{"bands", setup{to: trade.Destination{Country: "DE", Carrier: "post"}, carriers: []trade.Carrier{descending()}}, "carriers[0].zones", "do not ascend at up_to 2"},
		{"lines", setup{to: gb, lines: []goods{}}, "baskets[0]", "has no lines"},
		{"province in words", setup{to: trade.Destination{Country: "CA", Region: "Ontario"}}, "destinations[0].region", "write one of AB, BC, MB"},
		{"province of a business", setup{to: trade.Destination{Country: "CA", Region: "Ontario", Buyer: trade.Business}}, "destinations[0].region", "write one of AB, BC, MB"},
		{"Northern Ireland", setup{to: trade.Destination{Country: "GB", Region: "NIR"}}, "destinations[0].region", "write one of ENG, SCT, WLS, or add rows of your own for GB-NIR"},
		{"region of a country without", setup{to: trade.Destination{Country: "PT", Region: "30"}}, "destinations[0].region", "leave the region out where those of PT hold"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.setup.lines == nil {
				c.setup.lines = lamp("100")
			}
			_, err := c.setup.try(t)
			var missing *landed.MissingError
			if !errors.As(err, &missing) {
				t.Fatalf("got %v, want a MissingError", err)
			}
			if !strings.Contains(err.Error(), c.path) || !strings.Contains(err.Error(), c.text) {
				t.Errorf("got %v, want %s: …%s…", err, c.path, c.text)
			}
		})
	}
}

// What only one way of treating a consignment needs leaves the others alone: a
// price is blank where that one applies, and the reason stands with its place.
func TestGapsOfOneRegime(t *testing.T) {
	gb, au := trade.Destination{Country: "GB"}, trade.Destination{Country: "AU"}
	terms := simpleCarrier("GB")
	terms.Currency, terms.Clearance = "GBP", []trade.Clearance{{Places: []string{"US"}, Currency: "USD"}}
	carried := gb
	carried.Carrier = "post"
	for _, c := range []struct {
		name          string
		setup         setup
		known, blank  string // prices in and beyond the regime without the gap
		path, message string
	}{
		{"tariff row", setup{to: gb, lines: []goods{{price: "1", quantity: "1", code: "0101.21"}}}, "135", "136", "products[0].hs_code", "no duty on 0101.21"},
		{"classification", setup{to: au, lines: []goods{{price: "1", quantity: "1"}}}, "1000", "1001", "products[0].hs_code", "no hs_code"},
		{"mass", setup{to: gb, own: tariffOf(trade.TariffRow{Duty: trade.Duty{PerKg: ft.Num("1")}}), lines: lamp("1")}, "135", "136", "products[0].parcel", "no parcel.mass_g"},
		{"exchange rate of a duty", setup{to: gb, own: tariffOf(trade.TariffRow{Duty: trade.Duty{PerPiece: ft.Num("1"), Currency: "SEK"}}), lines: lamp("1")}, "135", "136", "rate_cards[0].exchange", "from SEK to GBP"},
		{"digits of the place", setup{to: au, lines: lamp("1"), own: tariffOf(trade.TariffRow{Territory: "AU", Codes: []string{"94052191"}, Duty: trade.Duty{Share: ft.Num("0")}})}, "1", "", "", ""},
		{"clearance", setup{to: carried, carriers: []trade.Carrier{terms}, lines: []goods{{price: "1", quantity: "1", code: "9405.21", parcel: parcel("1000")}}}, "135", "136", "carriers[0].clearance", "none for GB"},
		{"charge", setup{to: au, day: "2023-01-01", lines: lamp("1")}, "1000", "1001", "rules.import_charges", "biosecurity of AU on 2023-01-01"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := c.setup.build(t)
			for _, total := range []graph.ID{b.landed.BuyerClears.Total, b.landed.AllPaid.Total} {
				b.Get(b.at(c.known), total)
			}
			if c.blank == "" {
				return
			}
			_, err := b.at(c.blank).Get(b.landed.BuyerClears.Total)
			var undefined *exact.UndefinedError
			if !errors.As(err, &undefined) || undefined.Path != c.path || !strings.Contains(undefined.Why, c.message) {
				t.Errorf("at %s: got %+v, want %s: …%s…", c.blank, err, c.path, c.message)
			}
		})
	}
}

// A lamp of brass and one of steel bear different duties in a place that looks
// at more than six digits.
func TestNationalCodes(t *testing.T) {
	us := trade.Destination{Country: "US"}
	b := setup{to: us, lines: []goods{{price: "100", quantity: "1", code: "9405.21"}}}.build(t)
	if _, err := b.at("").Get(b.landed.BuyerClears.Total); err == nil || !strings.Contains(err.Error(), "enter the one of 94052140, 94052160, 94052180") {
		t.Errorf("six digits: %v", err)
	}
	for code, duty := range map[string]string{"9405.21.40": "3.70", "9405.21.60": "6.00"} {
		b := setup{to: us, lines: []goods{{price: "100", quantity: "1", code: "9405.21", national: []bom.NationalCode{{Place: "GB", Code: "0101"}, {Place: "US", Code: code}}}}}.build(t)
		b.want(b.at(""), "duty", duty)
	}
}

func simpleCarrier(place string) trade.Carrier {
	return trade.Carrier{ID: "post", Name: "post", Currency: "EUR", LengthUnit: trade.Centimetres, MassUnit: trade.Kilograms,
		Zones: []trade.Zone{{ID: "one", Places: []string{place}, Bands: []trade.MassBand{{UpTo: *ft.Num("2"), Price: *ft.Num("9")}, {UpTo: *ft.Num("10"), Price: *ft.Num("10.7")}}}}}
}

// descending is a carrier whose bands stand in the wrong order.
func descending() trade.Carrier {
	c := simpleCarrier("DE")
	b := c.Zones[0].Bands
	b[0], b[1] = b[1], b[0]
	return c
}

func parcel(massG string) *bom.Parcel {
	return &bom.Parcel{LengthMM: bom.Whole(300), WidthMM: bom.Whole(200), HeightMM: bom.Whole(100), MassG: *ft.Num(massG)}
}

// told are the findings of a severity, behind the key of their figure.
func (b built) told(severity graph.Severity) (out []string) {
	for _, f := range b.Graph.Findings() {
		if f.Severity == severity {
			out = append(out, f.Key+": "+f.Message)
		}
	}
	return out
}

// A row from memory marks what rests on it and blocks a quote.
func TestUnverifiedRowsBlock(t *testing.T) {
	b := setup{to: trade.Destination{Country: "AU"}, lines: lamp("2000")}.build(t)
	blockers := b.told(graph.Blocker)
	if len(blockers) != 1 || !strings.HasPrefix(blockers[0], "destination/AU/parcel: ") || !strings.Contains(blockers[0], "cannot be quoted without confirmation") {
		t.Errorf("the blockers are %q, want one for the duty", blockers)
	}
	marked := 0
	for i := range b.Graph.Len() {
		if n := b.Graph.Node(graph.ID(i)); n.Source.Unverified && n.Kind == graph.Input {
			marked++
			if n.Source.CheckedOn != "2026-11-25" || !strings.HasPrefix(n.Source.Cite, reference.FromMemory) {
				t.Errorf("%s: source %+v", n.Key, n.Source)
			}
		}
	}
	if marked != 1 {
		t.Errorf("%d inputs are marked unverified, want the rate of duty alone", marked)
	}
	b = setup{to: trade.Destination{Country: "AU"}, lines: lamp("2000"), own: duty("AU", "0.05")}.build(t)
	if left := b.told(graph.Blocker); len(left) > 0 {
		t.Errorf("a confirmed row of the shop leaves %q", left)
	}
}

// A row of the shop's own without a source is as unconfirmed as one from memory,
// and says where to write it.
func TestOwnRowsWithoutASourceBlock(t *testing.T) {
	own := duty("AU", "0.05")
	own.Tariff[0].Cite = ""
	b := setup{to: trade.Destination{Country: "AU"}, lines: lamp("2000"), own: own}.build(t)
	told := b.told(graph.Blocker)
	want := "destination/AU/parcel: own row tariff AU 9405 has no source and cannot be quoted without confirmation; write where it is from under cite"
	if len(told) != 1 || told[0] != want {
		t.Errorf("told %q, want %q", told, want)
	}
}

// Every input says where it came from.
func TestInputsHaveASource(t *testing.T) {
	for name, u := range worldwide() {
		b := u.build(t)
		for i := range b.Graph.Len() {
			n := b.Graph.Node(graph.ID(i))
			if n.Kind == graph.Input && n.Source.Where == "" && !strings.HasPrefix(n.Key, "a/") {
				t.Errorf("%s: %s has no source", name, n.Key)
			}
		}
	}
}
