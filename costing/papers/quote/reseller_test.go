package quote_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// A dealer abroad within the customs territory accounts for the tax itself.
func TestResellerIsABusiness(t *testing.T) {
	t.Parallel()
	req := request("DE")
	req.Channel, req.Customer.TaxNumber = "dealer", "DE 000 000 000"
	d := build(t, req)
	if d.Buyer != "business" || d.TaxCategory != "K" || len(d.Taxes) != 0 || d.Totals.Tax.Value != "0" {
		t.Errorf("buyer %s, category %s, taxes %v", d.Buyer, d.TaxCategory, d.Taxes)
	}
	req.Buyer = "consumer"
	_, err := quote.Build(demo(t), req, day)
	var invalid *quote.InvalidError
	if !errors.As(err, &invalid) || len(invalid.Fields) != 1 || invalid.Fields[0].Pointer != "/buyer" || !strings.Contains(invalid.Fields[0].Message, "buyer_reason") {
		t.Fatalf("a consumer who resells: %v", err)
	}
	req.BuyerReason = "a dealer's own lamp, bought in private"
	if d = build(t, req); d.Buyer != "consumer" || len(d.Taxes) == 0 {
		t.Errorf("with a reason: buyer %s, taxes %v", d.Buyer, d.Taxes)
	}
	req.Channel, req.Buyer, req.BuyerReason = "direct", "", ""
	if d = build(t, req); d.Buyer != "consumer" {
		t.Errorf("own shop: buyer %s", d.Buyer)
	}
}

// A business abroad may say its tax number later: a quote is no invoice.
func TestTaxNumberToFollow(t *testing.T) {
	t.Parallel()
	for number, lacks := range map[string]bool{"": true, "DE 000 000 000": false} {
		req := request("DE")
		req.Buyer, req.Customer.TaxNumber = "business", number
		d := build(t, req)
		basis, err := d.Basis()
		if err != nil {
			t.Fatal(err)
		}
		note := show.Quote(d, quote.Issued, "").TaxNote
		if strings.Contains(note, "on condition that the buyer's tax number is given with the order (Directive 2006/112/EC, Art. 138)") != lacks ||
			!strings.HasSuffix(note, "This is an intra-Community supply: goods for a business in another country of the customs territory (code K).") {
			t.Errorf("number %q: %s", number, note)
		}
		if slices.ContainsFunc(basis.Notes, func(n string) bool { return strings.HasPrefix(n, "The buyer's tax number is missing") }) != lacks {
			t.Errorf("number %q: the seller reads %v", number, basis.Notes)
		}
	}
}
