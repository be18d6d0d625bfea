package web_test

import (
	"context"
	"strings"
	"testing"

	"kerfbook/testdata"
)

// A product without a classification is said to lack it on its own page, and where
// the landed prices would stand, with a link to the field.
func TestPagesTellOfAMissingClassification(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	code := "    hs_code: \"940521\"\n"
	text := string(testdata.Demo)
	if !strings.Contains(text, code) {
		t.Fatal("the demo has no such code")
	}
	if _, err := s.svc.ImportBook(context.Background(), tester, []byte(strings.Replace(text, code, "", 1)), ""); err != nil {
		t.Fatal(err)
	}
	b := s.signIn(t)
	const why = "destination GB, ordinary import: product LAMP has no hs_code, so its duty is not known"
	for address, wants := range map[string][]string{
		"/landed?trim=glow":   {why, "/book/products/LAMP#f-hs_code"},
		"/book/products/LAMP": {why},
		"/landed?trim=plain":  {why},
	} {
		body := b.page(address)
		checkPage(t, address, body)
		for _, want := range wants {
			if !strings.Contains(body, want) {
				t.Errorf("%s does not say %s", address, want)
			}
		}
	}
}
