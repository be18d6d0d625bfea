// Package quotetest has quotes of the demo book for the tests of what is made of
// them.
package quotetest

import (
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// Request is a request of two trims from the demo book.
func Request(destination, term string) quote.Request {
	return quote.Request{
		Lines: []quote.RequestLine{
			{Trim: "glow", Quantity: "50", Batch: "250"},
			{Trim: "tune", Choices: map[string]string{"mount": "wall"}, Quantity: "37"},
		},
		Destination: destination, Discount: "0.035",
		Seller:       quote.Party{Address: []string{"Rua do Exemplo 12", "4000-000 Porto"}, Contact: "oficina@ostrel.example", TaxNumber: "PT 000 000 000"},
		Customer:     quote.Party{Name: "Beispielhandel GmbH", Address: []string{"Am Beispielplatz 1", "80000 München"}, Contact: "A. Beispiel"},
		ValidDays:    30,
		Delivery:     quote.Delivery{Term: term, Place: "Munich"},
		PaymentTerms: "30 days net", LeadTime: "six weeks after the order",
		Notes:             "Engraving on request.\nSpare shades can be ordered for five years.",
		ConfirmUnverified: true,
	}
}

// Issued makes a document with a number, and its words.
func Issued(t testing.TB, req quote.Request) (*quote.Document, show.QuoteView) {
	t.Helper()
	return IssuedFrom(t, booktest.Demo(t), req)
}

// IssuedFrom makes one from a book of its own.
func IssuedFrom(t testing.TB, b *book.Book, req quote.Request) (*quote.Document, show.QuoteView) {
	t.Helper()
	d, err := quote.Build(b, req, "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	d.Number = "2026-0001"
	hash, err := d.Hash()
	if err != nil {
		t.Fatal(err)
	}
	return d, show.Quote(d, quote.Issued, hash)
}

// Dangerous texts begin as a formula does.
var Dangerous = []string{"=HYPERLINK(\"http://x\",\"y\")", "+1+1", "-1-1", "@SUM(A1)", "'=1", "=cmd|' /C calc'!A0"}

// Saying is a request with a text wherever words may stand; a tax number needs a digit
// beside it.
func Saying(text string) quote.Request {
	req := Request("PT", "DAP")
	req.Customer = quote.Party{Name: text, Address: []string{text}, Contact: text, TaxNumber: text + " 1"}
	req.Seller.Address = []string{text}
	req.Notes, req.PaymentTerms, req.LeadTime, req.Delivery.Place = text+"\n"+text, text, text, text
	return req
}
