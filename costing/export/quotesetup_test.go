package export_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
	"kerfbook/testdata"
)

// offer is a request of two trims from the demo book.
func offer(destination, term string) quote.Request {
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

// issued makes a document with a number, and its words.
func issued(t testing.TB, req quote.Request) (*quote.Document, show.QuoteView) {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	return issuedFrom(t, b, req)
}

func issuedFrom(t testing.TB, b *book.Book, req quote.Request) (*quote.Document, show.QuoteView) {
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

// manyTrims is the demo book with n trims, and a request of all of them with
// names as long as they get.
func manyTrims(t testing.TB, n int) (*book.Book, quote.Request) {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	p := &b.Products[0]
	glow := p.Trims[1]
	req := offer("US", "DDP")
	req.Lines = nil
	for i := range n {
		trim := glow
		trim.ID, trim.Name = bom.ID(fmt.Sprintf("glow-%02d", i)), fmt.Sprintf("Glow of run %d", i)
		if i%3 == 0 {
			trim.Name += " with a name that is long enough to need a second line in the table, and perhaps a third"
		}
		p.Trims = append(p.Trims, trim)
		req.Lines = append(req.Lines, quote.RequestLine{Trim: string(trim.ID), Quantity: fmt.Sprint(10 + i)})
	}
	req.Customer.Name = strings.Repeat("Donaudampfschifffahrtsgesellschaft", 5)
	req.Customer.Address = append(req.Customer.Address, strings.Repeat("W", 190))
	return b, req
}

var boxForm = regexp.MustCompile(`xMin="([0-9.]+)"[^>]*xMax="([0-9.]+)"[^>]*>([^<]*)<`)

func float(t testing.TB, text string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func itoa(n int) string { return strconv.Itoa(n) }
