package quote_test

import (
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/quotetest"
)

const day = "2026-11-25"

// demo is a fresh copy of the demo book.
func demo(t testing.TB) *book.Book { return booktest.Demo(t) }

// request asks for two trims to a destination, without discount.
func request(destination string) quote.Request {
	r := quotetest.Request(destination, "DAP")
	r.Discount, r.Seller, r.Notes = "", quote.Party{}, ""
	return r
}

func build(t testing.TB, req quote.Request) *quote.Document {
	t.Helper()
	return buildFrom(t, demo(t), req)
}

func buildFrom(t testing.TB, b *book.Book, req quote.Request) *quote.Document {
	t.Helper()
	d, err := quote.Build(b, req, day)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// packed is a document as it is kept.
func packed(t testing.TB, d *quote.Document) []byte {
	t.Helper()
	data, err := d.Encode()
	if err != nil {
		t.Fatal(err)
	}
	out, err := quote.Pack(data)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
