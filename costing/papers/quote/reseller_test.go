package quote_test

import (
	"errors"
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
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
