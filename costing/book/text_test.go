package book_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/check"
	"kerfbook/costing/text"
)

func TestParseErrors(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, old, new, path, message string }{
		{"unknown field", "    lead_days: 9", "    ‸leed_days: 9", "offers[0].leed_days", "did you mean lead_days?"},
		{"duplicate key", "    moq: 10", "    moq: 10\n    ‸moq: 12", "offers[0].moq", "given twice"},
		{"inches", "length_mm: 43.2, kerf", "‸length_in: 1.7, kerf", "parts[0].blank.length_in", "lengths are in mm"},
		{"wrong unit", "length_mm: 43.2", "length_mm: ‸43.2 in", "parts[0].blank.length_mm", "lengths are in mm"},
		{"negative quantity", "quantity: 4,", "quantity: ‸-4,", "parts[6].children[2].quantity", "must be 0 or more"},
		{"yield 0", "yield: 0.97", "yield: ‸0", "parts[0].routing[0].yield", "must be more than 0"},
		{"huge exponent", "moq: 10", "moq: ‸1e999999999", "offers[0].moq", "without an exponent"},
		{"many digits", "moq: 10", "moq: ‸" + strings.Repeat("1", 400), "offers[0].moq", "more than 34 digits"},
		{"leading zero", "moq: 10", "moq: ‸010", "offers[0].moq", "leading zero"},
		{"bare Norway", `country: "PT"`, "country: ‸NO", "country", `write "NO" in quotes`},
		{"currency", "currency: SEK", "currency: ‸Sek", "offers[4].currency", "SEK"},
		{"unknown currency", "currency: SEK", "currency: ‸XQQ", "offers[4].currency", "ISO 4217"},
		{"kind of part", "kind: bought, mass", "kind: ‸buy, mass", "parts[4].kind", "made, bought, assembly"},
		{"missing id", "  - id: web\n    name", "  - ‸name", "channels[0].id", "id is missing; add this field"},
		{"missing list", "rate_cards:", "‸rate_cart:", "rate_cart", "did you mean rate_cards?"},
		{"date", "2026-12-31", "‸2026-13-31", "offers[0].valid_until", "is not a day"},
		{"range of a least quantity", "moq: 10", "moq: ‸{low: 5, likely: 10, high: 20}", "offers[0].moq", "one figure is expected here, not a range"},
		{"range of a count", "pieces_per_load: 2", "pieces_per_load: ‸{low: 1, likely: 2, high: 3}", "parts[0].routing[0].pieces_per_load", "a count is one whole number"},
		{"deviation missing", "high: 15}", "high: 15, shape: ‸normal}", "parts[0].routing[0].cutting_min.sd", "a normal shape needs sd"},
		{"later version", "kerfbook: 1", "kerfbook: ‸2\nnews: 1", "kerfbook", "this program reads version 1"},
		{"wrong version", "kerfbook: 1", "kerfbook: ‸0", "kerfbook", "this program reads version 1"},
		{"no version", "kerfbook: 1", "\n", "kerfbook", "missing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			written, want := booktest.Edit(t, c.old, c.new)
			_, places, err := book.Parse([]byte(written))
			var found *text.Errors
			if !errors.As(err, &found) {
				t.Fatalf("got %v with %d places, want *text.Errors", err, len(places))
			}
			for _, e := range found.List {
				if e.Path == c.path && strings.Contains(e.Message, c.message) &&
					(!strings.Contains(c.new, "‸") || e.Line == want.Line && e.Column == want.Column) {
					return
				}
			}
			t.Errorf("got\n%v\nwant line %d, column %d: %s: …%s…", err, want.Line, want.Column, c.path, c.message)
		})
	}
}

func TestWriteGivesTheIdenticalBook(t *testing.T) {
	t.Parallel()
	first, _ := booktest.Placed(t, booktest.Sample)
	written, err := first.Write()
	if err != nil {
		t.Fatal(err)
	}
	second, _ := booktest.Placed(t, string(written))
	if !reflect.DeepEqual(first, second) {
		t.Error("the book read back is another one")
	}
	again, err := second.Write()
	if err != nil || !bytes.Equal(written, again) {
		t.Errorf("written twice gives other bytes: %v", err)
	}
	for _, kept := range []string{"price: 14.20", "14.20", "length_mm: 62.0", "{low: 8, likely: 10, high: 15}", "{low: 30, likely: 45, high: 70, shape: pert}", "{low: 5, likely: 6, high: 9, shape: normal, sd: 0.80}", `country: "PT"`, `"Glow: wall"`, `hs_code: "940521"`, "- {from: 50, price: 74.50}"} {
		if !strings.Contains(string(written), kept) {
			t.Errorf("the text does not hold %s", kept)
		}
	}
}

func TestParseTakesJSON(t *testing.T) {
	t.Parallel()
	written, err := json.MarshalIndent(map[string]any{
		"kerfbook": 1, "name": "Ostrel / Porto", "country": "NO", "currency": "NOK",
		"rate_cards": []any{map[string]any{"id": "2026", "from": "2026-01-01", "material_overhead": "0.10", "bought_overhead": 0,
			"outside_overhead": 0, "making_overhead": map[string]any{"base": "labour_cost", "rate": 0}, "administration": 0, "selling": 0}},
	}, "", "\t")
	if err != nil {
		t.Fatal(err)
	}
	b, places := booktest.Placed(t, string(written))
	if b.Country != "NO" || b.RateCards[0].MaterialOverhead.Likely.String() != "0.1" {
		t.Errorf("got %+v", b)
	}
	if problems := check.Book(b, places, booktest.SampleDay); len(problems) > 0 {
		t.Errorf("got %v", problems)
	}
}

// FuzzParse holds the whole book to what strict promises, and that checking never
// panics on whatever is read.
func FuzzParse(f *testing.F) {
	f.Add([]byte(booktest.Sample))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, places, err := book.Parse(data)
		if err != nil {
			return
		}
		for _, p := range check.Book(b, places, booktest.SampleDay) {
			if p.Line < 1 || p.Message == "" {
				t.Fatalf("a problem without a place: %+v", p)
			}
		}
		written, err := b.Write()
		if err != nil {
			t.Fatal(err)
		}
		again, _, err := book.Parse(written)
		if err != nil {
			t.Fatalf("cannot read what was written: %v\n%s", err, written)
		}
		if second, err := again.Write(); err != nil || !bytes.Equal(written, second) {
			t.Fatalf("written twice: %v\n%s\n%s", err, written, second)
		}
	})
}
