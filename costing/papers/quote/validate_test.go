package quote_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
)

// fieldsOf are the places a request is refused for.
func fieldsOf(t *testing.T, req quote.Request) []string {
	t.Helper()
	_, err := quote.Build(demo(t), req, day)
	var invalid *quote.InvalidError
	if !errors.As(err, &invalid) {
		t.Fatalf("error %v, want an InvalidError", err)
	}
	var out []string
	for _, f := range invalid.Fields {
		if f.Message == "" || !strings.HasPrefix(f.Pointer, "/") || strings.ContainsAny(f.Pointer, "[].") {
			t.Errorf("field %+v", f)
		}
		out = append(out, f.Pointer)
	}
	return out
}

func TestAllFaultsAtOnce(t *testing.T) {
	t.Parallel()
	got := fieldsOf(t, quote.Request{
		Lines: []quote.RequestLine{
			{Trim: "glow", Quantity: "1e9"}, {Trim: "none", Quantity: "1.5"}, {Product: "X", Trim: "glow", Quantity: "0"},
			{Trim: "plain", Choices: map[string]string{"light": "tunable"}, Quantity: "5", Batch: "-1"}, {Trim: "glow", Quantity: "3"}, {Trim: "glow", Quantity: "4"},
		},
		Destination: "UK", Channel: "market", Buyer: "friend", Discount: "1",
		Seller:    quote.Party{Country: "Portugal"},
		Customer:  quote.Party{Address: slices.Repeat([]string{"x"}, 9), Contact: "a\x00b", TaxNumber: strings.Repeat("9", 201)},
		ValidDays: 3, ValidUntil: "2026-12-01",
		Delivery: quote.Delivery{Term: "FREE", Charge: "12,50"}, Notes: "\xff", Language: "xx",
	})
	want := []string{"/lines/0/quantity", "/lines/1/quantity", "/lines/1/trim", "/lines/2/quantity", "/lines/2/product",
		"/lines/3/batch", "/lines/3/choices", "/lines/4/trim", "/lines/5/trim", "/destination", "/channel", "/discount", "/seller/country",
		"/customer/name", "/customer/address", "/customer/contact", "/customer/tax_number", "/valid_until", "/delivery/term",
		"/delivery/place", "/delivery/charge", "/notes", "/language"}
	for _, p := range want {
		if !slices.Contains(got, p) {
			t.Errorf("%s is not named", p)
		}
	}
	for _, p := range got {
		if !slices.Contains(want, p) {
			t.Errorf("%s is named", p)
		}
	}
}

func TestOneFault(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		spoil   func(*quote.Request)
		pointer string
	}{
		"no line":         {func(r *quote.Request) { r.Lines = nil }, "/lines"},
		"many lines":      {func(r *quote.Request) { r.Lines = slices.Repeat(r.Lines[:1], 101) }, "/lines"},
		"buyer":           {func(r *quote.Request) { r.Buyer = "friend" }, "/buyer"},
		"passed":          {func(r *quote.Request) { r.ValidDays, r.ValidUntil = 0, "2026-11-24" }, "/valid_until"},
		"no day":          {func(r *quote.Request) { r.ValidDays = 0 }, "/valid_days"},
		"no date":         {func(r *quote.Request) { r.ValidDays, r.ValidUntil = 0, "30.11.2026" }, "/valid_until"},
		"charge ex works": {func(r *quote.Request) { r.Delivery.Term, r.Delivery.Charge = "EXW", "10" }, "/delivery/charge"},
		"negative charge": {func(r *quote.Request) { r.Delivery.Charge = "-1" }, "/delivery/charge"},
		"huge number":     {func(r *quote.Request) { r.Lines[0].Quantity = strings.Repeat("9", 1_000_000) }, "/lines/0/quantity"},
		"no tax number":   {func(r *quote.Request) { r.Customer.TaxNumber = "to follow" }, "/customer/tax_number"},
	} {
		req := request("PT")
		c.spoil(&req)
		if got := fieldsOf(t, req); len(got) != 1 || got[0] != c.pointer {
			t.Errorf("%s: %v, want %s", name, got, c.pointer)
		}
	}
}

func TestValidity(t *testing.T) {
	t.Parallel()
	req := request("PT")
	req.ValidDays = 98
	if d := build(t, req); d.ValidUntil != "2027-03-03" {
		t.Errorf("valid until %s", d.ValidUntil)
	}
	req.ValidDays, req.ValidUntil = 0, day
	if d := build(t, req); d.ValidUntil != day {
		t.Errorf("valid until %s", d.ValidUntil)
	}
}
