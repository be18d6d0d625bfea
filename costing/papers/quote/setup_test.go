package quote_test

import (
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/papers/quote"
	"kerfbook/testdata"
)

const day = "2026-11-25"

// demo is a fresh copy of the demo book.
func demo(t testing.TB) *book.Book {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// request asks for two trims to a destination.
func request(destination string) quote.Request {
	return quote.Request{
		Lines: []quote.RequestLine{
			{Trim: "glow", Quantity: "50", Batch: "250"},
			{Trim: "tune", Choices: map[string]string{"mount": "wall"}, Quantity: "37"},
		},
		Destination: destination,
		Customer:    quote.Party{Name: "Beispielhandel GmbH", Address: []string{"Am Beispielplatz 1", "80000 München"}, Contact: "A. Beispiel"},
		ValidDays:   30, Delivery: quote.Delivery{Term: "DAP", Place: "Munich"},
		PaymentTerms: "30 days net", LeadTime: "six weeks after the order", ConfirmUnverified: true,
	}
}

func build(t testing.TB, req quote.Request) *quote.Document {
	t.Helper()
	d, err := quote.Build(demo(t), req, day)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
