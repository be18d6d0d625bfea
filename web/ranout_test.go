package web_test

import (
	"net/http"
	"strings"
	"testing"

	"kerfbook/testdata"
)

// TestPagesTellOfPricesThatRanOut: the pages of a trim, of its proof and of a quote
// say that an old price is used, and nothing stops.
func TestPagesTellOfPricesThatRanOut(t *testing.T) {
	t.Parallel()
	old := strings.Replace(string(testdata.Demo), "lead_days: 3, valid_until: 2032-12-31", "lead_days: 3, valid_until: 2026-03-31", 1)
	b := shopWith(t, []byte(old)).signIn(t)
	for address, wants := range map[string][]string{
		"/":                              {"d old</span>", "price for SC-M3 ran out on 31 March 2026"},
		"/proof/variant/plain/each/full": {"d old</span>", `title="Rests on a price that ran out`},
		"/landed?trim=plain":             {"d old</span>", "price for SC-M3 ran out on 31 March 2026"},
	} {
		body := b.page(address)
		checkPage(t, address, body)
		says(t, address, body, wants...)
	}
	code, preview := b.post("/quotes", demoQuote())
	if code != http.StatusOK || !strings.Contains(preview, "It rests on prices that have run out") || !strings.Contains(preview, "offer of PARAFUSO for SC-M3") {
		t.Fatalf("preview: %d", code)
	}
	checkPage(t, "preview", preview)
	code, body := b.post("/quotes", previewForm(preview))
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, `href="#f-confirm_unverified"`) {
		t.Errorf("issued without confirmation: %d", code)
	}
	issue := previewForm(body)
	issue.Set("confirm_unverified", "yes")
	code, body = b.post("/quotes", issue)
	if code != http.StatusOK || strings.Contains(body, "PARAFUSO") {
		t.Errorf("confirmed: %d; the customer is told of the supplier: %t", code, strings.Contains(body, "PARAFUSO"))
	}
}
