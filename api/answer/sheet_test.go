package answer

import (
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/testdata"

	"github.com/shopspring/decimal"
)

func demoSheet(t *testing.T) (*Sheet, *book.Book) {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Of(b).Sheet(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	return s, b
}

func TestSheetLooksUp(t *testing.T) {
	t.Parallel()
	s, b := demoSheet(t)
	rate := s.Entered("rate_cards[0].administration")
	if rate.Key != "rate-card/administration" || rate.Value != b.RateCards[0].Administration.Likely.String() {
		t.Errorf("entered: %+v", rate)
	}
	if path, ok := s.IsInput(rate.Key); !ok || path != "rate_cards[0].administration" {
		t.Errorf("input: %q %t", path, ok)
	}
	if _, ok := s.IsInput("variant/plain/each/full"); ok {
		t.Error("a computed figure is taken for an input")
	}
	used := s.UsedBy(rate.Key, 10)
	if len(used) != 1 || used[0].Key != "variant/plain/each/administration" {
		t.Errorf("used by: %+v", used)
	}
	if f := s.Figure("no/such/key"); f.Key != "" {
		t.Errorf("a key that does not exist gives %+v", f)
	}
	if f := EmptySheet().Entered("x"); f.Key != "" {
		t.Errorf("an empty sheet gives %+v", f)
	}
}

func TestSheetFindsUnverifiedRows(t *testing.T) {
	t.Parallel()
	s, _ := demoSheet(t)
	rows := s.Unverified("destination/US/plain/buyer-clears/total")
	if len(rows) == 0 {
		t.Fatal("the landed price in the US rests on unverified rows, and none is found")
	}
	for _, r := range rows {
		if !r.Unverified || r.CheckedOn == "" || r.Where == "" {
			t.Errorf("row %+v", r)
		}
	}
	if rows := s.Unverified("variant/plain/each/full"); len(rows) != 0 {
		t.Errorf("the cost rests on %+v", rows)
	}
	if !s.Figure("destination/US/plain/buyer-clears/total").Unverified {
		t.Error("the landed price in the US is not marked")
	}
	// The tariff row of these places does not bear on a parcel of this value.
	for _, place := range []string{"AU", "NZ"} {
		key := "destination/" + place + "/plain/buyer-clears/total"
		if f := s.Figure(key); f.Key == "" || f.Unverified {
			t.Errorf("%s: %+v", place, f)
		}
		if rows := s.Unverified(key); len(rows) != 0 {
			t.Errorf("%s rests on %+v", place, rows)
		}
	}
}

func TestCompare(t *testing.T) {
	t.Parallel()
	out, err := Compare(
		[]Figure{{Key: "a", Label: "a", Value: "10.5", Unit: "EUR"}, {Key: "b", Value: ""}},
		[]Figure{{Key: "a", Label: "a", Value: "12", Unit: "EUR"}, {Key: "b", Value: "3"}})
	if err != nil {
		t.Fatal(err)
	}
	if d := out[0].Difference; d.Key != "difference/a" || d.Value != "1.5" || d.Unit != "EUR" {
		t.Errorf("difference %+v", d)
	}
	if out[1].Difference.Key != "" {
		t.Errorf("an undefined figure has the difference %+v", out[1].Difference)
	}
}
