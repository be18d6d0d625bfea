package web_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
	"time"

	"kerfbook/api/edge"
	"kerfbook/web"
)

// TestCostlyPagesWaitTheirTurn takes all places for costly work: pages that compute
// ask to come again, all others are served, and a place that is free serves them.
func TestCostlyPagesWaitTheirTurn(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	e := must(edge.New(edge.Config{Now: func() time.Time { return today }, PlaceWait: 20 * time.Millisecond}, s.svc, slog.New(slog.DiscardHandler)))(t)
	pages := must(web.New(e, s.svc))(t)
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	b := (&shop{Server: srv, svc: s.svc, log: s.log}).signIn(t)
	var releases []func()
	for range runtime.GOMAXPROCS(0) {
		release := must(e.Place(t.Context()))(t)
		releases = append(releases, release)
	}
	for _, path := range []string{"/", "/trims", "/curve", "/compare", "/landed", "/spread", "/parts/HS-010", "/change", "/changes", "/proof/variant/glow/each/full"} {
		r, err := b.Get(srv.URL + path)
		code, body := b.read(r, err)
		if code != http.StatusServiceUnavailable || r.Header.Get("Retry-After") == "" || !strings.Contains(body, "Do it again in a moment") {
			t.Errorf("%s: %d, Retry-After %q", path, code, r.Header.Get("Retry-After"))
		}
	}
	for _, path := range []string{"/book", "/quotes", "/shop"} {
		if code, _ := b.read(b.Get(srv.URL + path)); code != http.StatusOK {
			t.Errorf("%s: %d", path, code)
		}
	}
	releases[0]()
	for range 2 * len(releases) {
		if code, _ := b.read(b.Get(srv.URL + "/curve?from=40&to=50")); code != http.StatusOK {
			t.Errorf("with a place: %d", code)
		}
	}
}
