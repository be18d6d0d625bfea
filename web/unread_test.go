package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"kerfbook/api/store/storetest"
)

// TestPagesBesideAnUnreadableRecord wants every page to answer, to name the record,
// and to put it right.
func TestPagesBesideAnUnreadableRecord(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	storetest.Spoil(t, s.data)
	b := s.signIn(t)
	for _, address := range []string{"/", "/parts", "/parts/HS-010", "/landed", "/quotes", "/quotes/new", "/rates", "/sources", "/book", "/book/import",
		"/book/parts", "/book/parts/SH-POM", "/book/parts/SH-POM/edit", "/book/parts/SH-POM/revisions?show=2", "/book/suppliers", "/changes", "/shop",
		"/spread", "/curve?mix=glow%3D100", "/compare"} {
		status, body := b.get(address)
		if status >= http.StatusInternalServerError || !strings.Contains(body, `href="/book/parts/SH-POM"`) {
			t.Errorf("%s: status %d, the record is named: %t", address, status, strings.Contains(body, "SH-POM"))
		}
	}
	start := b.page("/")
	if !strings.Contains(start, "Glow") || !strings.Contains(start, "part SH-POM is missing") || !strings.Contains(start, "1.5 must be a whole number") {
		t.Error("the first page does not give the other trims with the reason why one is blank")
	}
	shown := b.page("/book/parts/SH-POM")
	if !strings.Contains(shown, "routing[0].setup_pieces: 1.5 must be a whole number") || !strings.Contains(shown, "setup_pieces: 1.5,") {
		t.Error("the page of the record has neither its text nor what is wrong with it")
	}
	seen := must(b.shop.svc.Record(context.Background(), "parts", "SH-POM", 0))(t)
	status, _ := b.post("/book/parts/SH-POM", url.Values{"version": {string(seen.Version)},
		"text": {strings.Replace(string(seen.Text), "setup_pieces: 1.5", "setup_pieces: 2", 1)}})
	if status != http.StatusOK {
		t.Errorf("the record is not saved: status %d", status)
	}
	if after := b.page("/"); strings.Contains(after, "cannot read") || !strings.Contains(after, "Plain") {
		t.Error("the record is put right and the first page still says that it cannot be read")
	}
}
