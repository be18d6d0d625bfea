package web_test

import (
	"strings"
	"testing"

	"kerfbook/testdata"
)

// A product without a classification is said to lack it on its own page, and where
// the landed prices would stand, with a link to the field.
func TestPagesTellOfAMissingClassification(t *testing.T) {
	t.Parallel()
	code := "    hs_code: \"940521\"\n"
	text := string(testdata.Demo)
	if !strings.Contains(text, code) {
		t.Fatal("the demo has no such code")
	}
	b := shopWith(t, []byte(strings.Replace(text, code, "", 1))).signIn(t)
	const why = "destination GB, ordinary import: product LAMP has no hs_code, so its duty is not known"
	for address, wants := range map[string][]string{
		"/landed?trim=glow":   {why, "/book/products/LAMP/edit"},
		"/book/products/LAMP": {why},
		"/landed?trim=plain":  {why},
	} {
		body := b.page(address)
		checkPage(t, address, body)
		says(t, address, body, wants...)
	}
}
