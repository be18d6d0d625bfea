package main

import (
	"bytes"
	"crypto/rand"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/testdata"
)

// aQuote asks for a quote of the demo.
const aQuote = `{"lines":[{"trim":"plain","quantity":"20"}],"destination":"GB","customer":{"name":"Example Interiors","country":"GB"},
	"valid_days":30,"delivery":{"term":"DAP","place":"Leeds"},"confirm_unverified":true}`

var shownDay = regexp.MustCompile(`name="day"[^>]*value="([0-9-]+)"`)

// TestOneToday asks pages, programs, quotes and the command line for today, shortly
// before and after midnight, east and west of everybody: all say the shop's day.
func TestOneToday(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		zone, utc string
		want      bom.Date
	}{
		{"Pacific/Pago_Pago", "2026-11-26T10:30:00Z", "2026-11-25"},  // 23:30, UTC−11
		{"Pacific/Pago_Pago", "2026-11-26T11:30:00Z", "2026-11-26"},  // 00:30
		{"Pacific/Kiritimati", "2026-11-25T09:30:00Z", "2026-11-25"}, // 23:30, UTC+14
		{"Pacific/Kiritimati", "2026-11-25T10:30:00Z", "2026-11-26"}, // 00:30
		{"", "2026-11-25T23:30:00Z", "2026-11-25"},
		{"", "2026-11-26T00:30:00Z", "2026-11-26"},
	} {
		at := must(time.Parse(time.RFC3339, c.utc))(t)
		// The clock of the machine has a zone of its own, which counts nowhere.
		clock := func() time.Time { return at.In(time.FixedZone("machine", 9*3600)) }
		text := testdata.Demo
		if c.zone != "" {
			text = bytes.Replace(text, []byte("\ncurrency:"), []byte("\ntime_zone: "+c.zone+"\ncurrency:"), 1)
		}
		b, _, err := book.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		if day, err := (&call{now: clock}).date(b); err != nil || day != c.want {
			t.Errorf("%s in %q: the command line says %s, %v; want %s", c.utc, c.zone, day, err, c.want)
		}
		st := must(store.Open(t.Context(), filepath.Join(t.TempDir(), "shop.db")))(t)
		defer st.Close()
		svc := service.New(st, clock, rand.Reader)
		if _, err := svc.ImportBook(t.Context(), maker(), text, ""); err != nil {
			t.Fatal(err)
		}
		if day := service.New(st, clock, rand.Reader).Today(); day != c.want {
			t.Errorf("%s in %q: the service says %s before anything was read, want %s", c.utc, c.zone, day, c.want)
		}
		asked(t, svc, clock, c.zone+" "+c.utc, c.want)
	}
}

// asked asks a page and a route.
func asked(t *testing.T, svc *service.Service, clock func() time.Time, what string, want bom.Date) {
	t.Helper()
	_, handler, err := handlersAt(edge.Config{Now: clock}, svc, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	defer server.Close()
	link := must(svc.NewSignInLink(t.Context()))(t)
	jar, _ := cookiejar.New(nil)
	browser := &http.Client{Jar: jar}
	if _, err := browser.PostForm(server.URL+"/sign-in", url.Values{"link": {link}}); err != nil {
		t.Fatal(err)
	}
	_, page := get(t, browser, server.URL+"/curve?from=40&to=41")
	if found := shownDay.FindStringSubmatch(page); found == nil || bom.Date(found[1]) != want {
		t.Errorf("%s: the page says %q, want %s", what, found, want)
	}
	answer := must(browser.Post(server.URL+"/api/v1/quote-previews", "application/json", strings.NewReader(aQuote)))(t)
	defer answer.Body.Close()
	if body, _ := io.ReadAll(answer.Body); !bytes.Contains(body, []byte(`"priced_on":"`+string(want)+`"`)) {
		t.Errorf("%s: the API answers %.200s, want %s", what, body, want)
	}
}

// TestTimeZones refuses what is no zone, with its place.
func TestTimeZones(t *testing.T) {
	t.Parallel()
	for _, zone := range []string{"Local", "Lisbon", "UTC+1", "''"} {
		_, _, err := book.Parse(bytes.Replace(testdata.Demo, []byte("\ncurrency:"), []byte("\ntime_zone: "+zone+"\ncurrency:"), 1))
		if err == nil || !strings.Contains(err.Error(), "time zone") && !strings.Contains(err.Error(), "time_zone") {
			t.Errorf("%s: %v", zone, err)
		}
	}
}
