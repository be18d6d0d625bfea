package trade

import (
	"fmt"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/money"
)

func shipped(t *testing.T) Rules {
	t.Helper()
	r, err := Reference()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// dated is what the tests look at in a row of any table.
type dated struct {
	key      string // rows with one key must not overlap
	from, to bom.Date
	cite     string
	checked  bom.Date
}

// rows lists all rows of all tables.
func rows(r Rules) []dated {
	var out []dated
	add := func(key string, from, to bom.Date, cite string, checked bom.Date) {
		out = append(out, dated{key, from, to, cite, checked})
	}
	for _, x := range r.Countries {
		add("country "+string(x.Country), x.From, x.To, x.Cite, x.CheckedOn)
	}
	for _, x := range r.Territories {
		add("territory "+string(x.ID), x.From, x.To, x.Cite, x.CheckedOn)
	}
	for _, x := range r.DistanceSales {
		add(fmt.Sprint("distance ", x.Territory, x.Buyer), x.From, x.To, x.Cite, x.CheckedOn)
	}
	for _, x := range r.Taxes {
		add(fmt.Sprint("tax ", x.Country, x.Region, x.Buyer, x.ID), x.From, x.To, x.Cite, x.CheckedOn)
	}
	for _, x := range r.ImportRules {
		add(fmt.Sprint("rule ", x.Place, x.DispatchedFrom, x.Buyer), x.From, x.To, x.Cite, x.CheckedOn)
	}
	for _, x := range r.ImportCharges {
		add(fmt.Sprint("charge ", x.Place, x.ID), x.From, x.To, x.Cite, x.CheckedOn)
	}
	for _, x := range r.Tariff {
		for _, code := range x.Codes {
			add(fmt.Sprint("tariff ", x.Territory, x.Layer, x.Preference, x.Origin, " ", code), x.From, x.To, x.Cite, x.CheckedOn)
		}
	}
	return out
}

func TestReferenceRowsHaveASource(t *testing.T) {
	for _, r := range rows(shipped(t)) {
		if r.cite == "" {
			t.Errorf("%s from %s has neither a source nor the remark that it is from memory", r.key, r.from)
		}
		if r.checked == "" {
			t.Errorf("%s from %s does not say when it was last looked at", r.key, r.from)
		}
		if r.to != "" && r.to < r.from {
			t.Errorf("%s ends %s before it begins %s", r.key, r.to, r.from)
		}
	}
}

func TestReferenceRowsDoNotOverlap(t *testing.T) {
	byKey := map[string][]dated{}
	for _, r := range rows(shipped(t)) {
		for _, other := range byKey[r.key] {
			apart := (r.to != "" && r.to < other.from) || (other.to != "" && other.to < r.from)
			if !apart {
				t.Errorf("%s holds twice: from %s and from %s", r.key, other.from, r.from)
			}
		}
		byKey[r.key] = append(byKey[r.key], r)
	}
}

func TestReferenceCurrenciesAreKnown(t *testing.T) {
	for _, c := range shipped(t).Countries {
		if _, ok := money.Lookup(string(c.Currency)); !ok {
			t.Errorf("the currency %s of %s is not on the list", c.Currency, c.Country)
		}
	}
}

func TestReferenceRegimesEndWithoutThreshold(t *testing.T) {
	for _, r := range shipped(t).ImportRules {
		last := r.Regimes[len(r.Regimes)-1]
		if last.Up != nil || last.Seller != "" {
			t.Errorf("rule %s of %s does not end with a regime for all", r.ID, r.Place)
		}
	}
}

func tables(t *testing.T) Tables { return Tables{Reference: shipped(t)} }

func TestTaxOnTheDaysAroundAChange(t *testing.T) {
	tb := tables(t)
	for _, c := range []struct {
		country bom.Country
		day     bom.Date
		rate    string
	}{
		{"EE", "2025-06-30", "0.22"}, {"EE", "2025-07-01", "0.24"},
		{"RO", "2025-07-31", "0.19"}, {"RO", "2025-08-01", "0.21"},
		{"SK", "2024-12-31", "0.2"}, {"SK", "2025-01-01", "0.23"},
		{"FI", "2024-08-31", "0.24"}, {"FI", "2024-09-01", "0.255"},
	} {
		found := tb.TaxesOf(c.country, "", Consumer, c.day)
		if len(found) != 1 || found[0].Value.Rate.Likely.String() != c.rate {
			t.Errorf("%s on %s: got %v, want one rate of %s", c.country, c.day, found, c.rate)
		}
	}
}

func TestImportRuleOnTheDaysAroundAChange(t *testing.T) {
	tb := tables(t)
	for _, c := range []struct {
		dispatch bom.Country
		to       Destination
		day      bom.Date
		rule     bom.ID
	}{
		{"US", Destination{Country: "DE"}, "2026-06-30", "relief"},
		{"US", Destination{Country: "DE"}, "2026-07-01", "flat_duty"},
		{"US", Destination{Country: "DE", Buyer: Business}, "2026-07-01", "no_relief"},
		{"PT", Destination{Country: "GB"}, "2026-07-01", "consumer"},
		{"PT", Destination{Country: "CA", Region: "ON"}, "2026-07-01", "post"},
		{"US", Destination{Country: "CA"}, "2026-07-01", "cusma_courier"},
	} {
		row, ok := tb.ImportRuleFor(c.dispatch, c.to, c.day)
		if !ok || row.Value.ID != c.rule {
			t.Errorf("%s to %s on %s: got rule %q, want %q", c.dispatch, c.to.Place(), c.day, row.Value.ID, c.rule)
		}
	}
	if _, ok := tb.ImportRuleFor("PT", Destination{Country: "GB"}, "2029-04-01"); ok {
		t.Error("the rule of the UK outlives the relief")
	}
}

func TestRegionRowsReplaceThoseOfTheCountry(t *testing.T) {
	tb := tables(t)
	for region, want := range map[string]string{"": "gst 0.05", "AB": "gst 0.05", "ON": "hst 0.13", "QC": "gst 0.05 qst 0.09975"} {
		var got []string
		for _, r := range tb.TaxesOf("CA", region, Consumer, "2026-08-01") {
			got = append(got, string(r.Value.ID)+" "+r.Value.Rate.Likely.String())
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("region %q: got %s, want %s", region, s, want)
		}
	}
}

func layersOf(t *testing.T, tb Tables, code string, day bom.Date) string {
	t.Helper()
	found, ok := tb.TariffFor(Goods{HSCode: code, Origin: "PT"}, Destination{Country: "US"}, day)
	if !ok {
		t.Fatalf("no tariff for %s", code)
	}
	var out []string
	for _, r := range found {
		word := string(r.Value.Layer) + " " + r.Value.Duty.Share.Likely.String()
		if r.Unverified {
			word += "?"
		}
		out = append(out, strings.TrimSpace(word))
	}
	return strings.Join(out, ", ")
}

func TestTariffLayersByDay(t *testing.T) {
	tb := tables(t)
	for _, c := range []struct {
		code string
		day  bom.Date
		want string
	}{
		{"9405.99", "2026-02-23", "0.06"},
		{"9405.99", "2026-02-24", "0.06, s122 0.1"},
		{"9405.99", "2026-07-24", "0.06, s122 0.1"},
		{"9405.99", "2026-07-25", "0.06, s122 0?"},
		{"7419.80", "2026-05-01", "0.03?, s232 0.25?"}, // no stacking
	} {
		if got := layersOf(t, tb, c.code, c.day); got != c.want {
			t.Errorf("%s on %s: got %s, want %s", c.code, c.day, got, c.want)
		}
	}
}

func TestOwnRowsGoFirst(t *testing.T) {
	tb := tables(t)
	tb.Own = Rules{
		Taxes:  []TaxRow{{ID: "vat", Country: "PT", Rate: bom.Whole(1), Cite: "office"}},
		Tariff: []TariffRow{{Codes: []string{"94"}, Territory: "GB", Duty: Duty{}}},
	}
	if found := tb.TaxesOf("PT", "", Consumer, "2026-08-01"); len(found) != 1 || found[0].Path != "rules.taxes[0]" || found[0].Unverified {
		t.Errorf("got %+v", found)
	}
	// The shorter prefix of an own row beats the longer one of a reference row.
	found, _ := tb.TariffFor(Goods{HSCode: "9405.21"}, Destination{Country: "GB"}, "2026-08-01")
	if len(found) != 1 || found[0].Path != "rules.tariff[0]" {
		t.Errorf("got %+v", found)
	}
}

func TestPreferenceMustBeClaimed(t *testing.T) {
	tb := tables(t)
	zero := bom.Whole(0)
	tb.Reference.Tariff = append(tb.Reference.Tariff, TariffRow{Codes: []string{"9405"}, Territory: "GB", Origin: []bom.Country{"PT"}, Preference: "tca", Duty: Duty{Share: &zero}, Cite: "x"})
	for claim, want := range map[string]string{"": "0.02", "tca": "0"} {
		found, ok := tb.TariffFor(Goods{HSCode: "9405.21", Origin: "PT"}, Destination{Country: "GB", Preference: claim}, "2026-08-01")
		if !ok || found[0].Value.Duty.Share.Likely.String() != want {
			t.Errorf("claiming %q: got %+v, want %s", claim, found, want)
		}
	}
	if found, _ := tb.TariffFor(Goods{HSCode: "9405.21", Origin: "US"}, Destination{Country: "GB", Preference: "tca"}, "2026-08-01"); found[0].Value.Duty.Share.Likely.String() != "0.02" {
		t.Error("a preference was given to goods of another origin")
	}
}
