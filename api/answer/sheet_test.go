package answer

import (
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
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

// TestFindingsOfAPartPriced: a part that is priced for places is said of what it is said of
// alone, and beside that of those places only: pages look at the one evaluation.
func TestFindingsOfAPartPriced(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	margin := bom.Exactly(decimal.RequireFromString("0.4"))
	for _, p := range b.Parts {
		alone := estimate.Alone(p.Number, decimal.NewFromInt(45), nil)
		priced := estimate.Alone(p.Number, decimal.NewFromInt(45), &margin)
		priced[0].Destinations = []string{"DE", "US"}
		var said [2]Estimate
		for i, mix := range [][]estimate.MixLine{alone, priced} {
			e, err := Of(b).Evaluate(t.Context(), mix, "2026-11-25")
			if err != nil {
				t.Fatalf("%s: %v", p.Number, err)
			}
			said[i] = e.Figures()
		}
		elsewhere := slices.DeleteFunc(said[1].Findings, func(f Finding) bool { return strings.HasPrefix(f.Key, "destination/") })
		if !slices.Equal(said[0].Findings, elsewhere) || !slices.Equal(said[0].NotCounted, said[1].NotCounted) {
			t.Errorf("%s: alone %v, priced %v", p.Number, said[0].Findings, elsewhere)
		}
	}
}
