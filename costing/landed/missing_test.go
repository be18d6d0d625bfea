package landed_test

import (
	"errors"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/landed"
	"kerfbook/costing/rates"
)

// A gap in the book is a typed error that says what to add and where.
func TestMissing(t *testing.T) {
	gb := rates.Destination{Country: "GB"}
	for _, c := range []struct {
		name       string
		setup      setup
		path, text string
	}{
		{"exchange rate", setup{to: gb, currency: "EUR"}, "rate_cards[0].exchange", "customs exchange rate from EUR to GBP"},
		{"tariff row", setup{to: gb, lines: []goods{{price: "1", quantity: "1", code: "0101.21"}}}, "rules.tariff", "no duty for 0101.21"},
		{"classification", setup{to: gb, lines: []goods{{price: "1", quantity: "1"}}}, "products", "no hs_code"},
		{"currency", setup{to: rates.Destination{Country: "BR"}, currency: "EUR"}, "rules.countries", "currency of BR"},
		{"rule for the day", setup{to: gb, day: "2020-06-01"}, "rules.import_rules", "no import rule for goods from PT on 2020-06-01"},
		{"tax rate", setup{dispatch: "US", to: rates.Destination{Country: "US"}}, "rules.taxes", "no tax rate of US"},
		{"carrier", setup{to: rates.Destination{Country: "DE", Carrier: "post"}}, "destinations[0].carrier", "no carrier post"},
		{"zone", setup{to: rates.Destination{Country: "DE", Carrier: "post"}, carriers: []rates.Carrier{{ID: "post", Currency: "EUR"}}}, "carriers[0].zones", "no zone with DE"},
		{"parcel", setup{to: rates.Destination{Country: "DE", Carrier: "post"}, carriers: []rates.Carrier{simpleCarrier("DE")}}, "products", "no parcel"},
		{"bands", setup{to: rates.Destination{Country: "DE", Carrier: "post"}, carriers: []rates.Carrier{descending()}}, "carriers[0].zones", "do not ascend at up_to 2"},
		{"lines", setup{to: gb, lines: []goods{}}, "baskets[0]", "has no lines"},
		{"mass", setup{to: gb, own: tariffOf(rates.TariffRow{Duty: rates.Duty{PerKg: num("1")}})}, "products", "no parcel.mass_g"},
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

func simpleCarrier(place string) rates.Carrier {
	return rates.Carrier{ID: "post", Name: "post", Currency: "EUR", LengthUnit: rates.Centimetres, MassUnit: rates.Kilograms,
		Zones: []rates.Zone{{ID: "one", Places: []string{place}, Bands: []rates.MassBand{{UpTo: *num("2"), Price: *num("9")}, {UpTo: *num("10"), Price: *num("10.7")}}}}}
}

// descending is a carrier whose bands stand in the wrong order.
func descending() rates.Carrier {
	c := simpleCarrier("DE")
	b := c.Zones[0].Bands
	b[0], b[1] = b[1], b[0]
	return c
}

func parcel(massG string) *bom.Parcel {
	return &bom.Parcel{LengthMM: bom.Whole(300), WidthMM: bom.Whole(200), HeightMM: bom.Whole(100), MassG: *num(massG)}
}

// A parcel above the last band has no price; a check says so in words.
func TestParcelTooHeavyForTheCarrier(t *testing.T) {
	for mass, carried := range map[string]bool{"10000": true, "10001": false} {
		b := setup{to: rates.Destination{Country: "DE", Carrier: "post"}, carriers: []rates.Carrier{simpleCarrier("DE")},
			lines: []goods{{price: "100", quantity: "1", code: "9405.21", parcel: parcel(mass)}}}.build(t)
		v := b.at("")
		check := b.id("parcel/a/carried")
		if got := must(t, v, check).IsPositive(); got != carried {
			t.Errorf("%s g: carried is %t", mass, got)
		}
		if v.Defined(b.figures.AtPlace.Total) != carried {
			t.Errorf("%s g: the landed price has a value: %t", mass, !carried)
		}
		if label := b.graph.Node(check).Label; !strings.Contains(label, "carrier post takes the parcel") {
			t.Errorf("the check says %q", label)
		}
	}
}

// A row from memory marks what rests on it and blocks a quote.
func TestUnverifiedRowsBlock(t *testing.T) {
	b := setup{to: rates.Destination{Country: "AU"}, lines: lamp("2000")}.build(t)
	blockers := 0
	for _, f := range b.graph.Findings() {
		if f.Severity == graph.Blocker {
			blockers++
			if f.Key != "destination/AU/parcel" || !strings.Contains(f.Message, "cannot be quoted without confirmation") {
				t.Errorf("finding %+v", f)
			}
		}
	}
	if blockers != 1 {
		t.Errorf("%d blockers, want one for the duty", blockers)
	}
	marked := 0
	for i := range b.graph.Len() {
		if n := b.graph.Node(graph.ID(i)); n.Source.Unverified && n.Kind == graph.Input {
			marked++
			if n.Source.CheckedOn != "2026-11-25" || !strings.HasPrefix(n.Source.Cite, rates.FromMemory) {
				t.Errorf("%s: source %+v", n.Key, n.Source)
			}
		}
	}
	if marked != 1 {
		t.Errorf("%d inputs are marked unverified, want the rate of duty alone", marked)
	}
	b = setup{to: rates.Destination{Country: "AU"}, lines: lamp("2000"), own: duty("AU", "0.05")}.build(t)
	for _, f := range b.graph.Findings() {
		if f.Severity == graph.Blocker {
			t.Errorf("a confirmed row of the shop leaves %+v", f)
		}
	}
}

// Every input says where it came from.
func TestInputsHaveASource(t *testing.T) {
	for name, u := range worldwide() {
		b := u.build(t)
		for i := range b.graph.Len() {
			n := b.graph.Node(graph.ID(i))
			if n.Kind == graph.Input && n.Source.Where == "" && !strings.HasPrefix(n.Key, "a/") {
				t.Errorf("%s: %s has no source", name, n.Key)
			}
		}
	}
}
