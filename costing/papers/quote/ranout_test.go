package quote_test

import (
	"errors"
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
)

// TestPricesThatRanOutNeedConfirmation: a quote on an old price asks for a new one
// or for a confirmation, and names which.
func TestPricesThatRanOutNeedConfirmation(t *testing.T) {
	t.Parallel()
	b := demo(t)
	for i := range b.Offers {
		if b.Offers[i].For == "SC-M3" {
			b.Offers[i].ValidUntil = "2026-11-20"
		}
	}
	req := request("PT")
	req.ConfirmUnverified = false
	d := buildFrom(t, b, req)
	var unconfirmed *quote.UnverifiedError
	if err := d.Issuable(); !errors.As(err, &unconfirmed) || len(unconfirmed.Rows) != 0 || len(unconfirmed.RanOut) != 1 {
		t.Fatalf("issuable: %v", err)
	}
	old := unconfirmed.RanOut[0]
	if old.Words() != "offer of PARAFUSO for SC-M3 ran out on 20 November 2026" || old.AgeDays != 5 || !strings.HasPrefix(old.Key, "offer/SC-M3/") {
		t.Errorf("%+v: %s", old, old.Words())
	}
	req.ConfirmUnverified = true
	if err := buildFrom(t, b, req).Issuable(); err != nil {
		t.Errorf("confirmed: %v", err)
	}
}
