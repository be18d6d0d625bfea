package estimate_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/check"
	"kerfbook/costing/estimate"
)

// smallBook is a book with one product of one trim, to which a test adds records.
func smallBook(t *testing.T, records string) *book.Book {
	t.Helper()
	return booktest.Read(t, []byte(smallText(records)))
}

func smallText(records string) string {
	const head = `kerfbook: 1
name: small
country: "PT"
currency: EUR
suppliers: [{id: S, name: supplier S}]
`
	card := "rate_cards: [{id: card, from: 2026-01-01}]\n"
	if strings.Contains(records, "rate_cards:") {
		card = ""
	}
	return head + card + records
}

// smallSheet evaluates a batch of the product X.
func smallSheet(t *testing.T, b *book.Book, quantity int64) sheet {
	t.Helper()
	mix := []estimate.MixLine{{Product: "X", Trim: "only", Quantity: bom.Whole(quantity)}}
	return evaluate(t, build(t, b, mix), nil)
}

// faults are the errors of a check on a text.
func faults(t *testing.T, records string) []string {
	t.Helper()
	b, places, err := book.Parse([]byte(smallText(records)))
	if err != nil {
		return messages(err)
	}
	var out []string
	for _, p := range check.Book(b, places, demoDay) {
		if p.Severity != check.Warning {
			out = append(out, p.Error())
		}
	}
	return out
}

// wantRefused wants one fault that contains all the words.
func wantRefused(t *testing.T, what, records string, words ...string) {
	t.Helper()
	found := faults(t, records)
	for _, f := range found {
		all := true
		for _, w := range words {
			all = all && strings.Contains(f, w)
		}
		if all {
			return
		}
	}
	t.Errorf("%s: no fault with %q among %q", what, words, found)
}

func smallMix() []estimate.MixLine {
	return []estimate.MixLine{{Product: "X", Trim: "only", Quantity: bom.Whole(1)}}
}
