package web_test

import (
	"bytes"
	"context"
	"crypto/rand"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/testdata"
	"kerfbook/web"
)

// today is the day all tests are on.
var today = time.Date(2026, 11, 25, 10, 30, 0, 0, time.UTC)

// shop is a running server with its service, for one test.
type shop struct {
	*httptest.Server
	svc  *service.Service
	data service.Store
	log  *lockedLog

	program *program // that serves in its place, nil elsewhere
}

var tester = service.Actor{Name: "tester", Scopes: service.AllScopes}

// emptyShop serves a store without a book.
func emptyShop(t testing.TB) *shop {
	t.Helper()
	ctx := context.Background()
	st := must(store.Open(ctx, filepath.Join(t.TempDir(), "shop.db")))(t)
	svc := service.New(st, func() time.Time { return today }, rand.Reader)
	log := &lockedLog{}
	e := must(edge.New(edge.Config{Now: func() time.Time { return today }}, svc, slog.New(slog.NewJSONHandler(log, nil))))(t)
	pages := must(web.New(e, svc))(t)
	s := &shop{Server: httptest.NewServer(pages), svc: svc, data: st, log: log}
	end := func() { s.Close(); st.Close() }
	t.Cleanup(func() {
		end()
		end, *s = nil, shop{} // until all tests are over, what the cleanups of one refer to is kept
	})
	return s
}

// demoShop serves the demo book.
func demoShop(t testing.TB) *shop {
	t.Helper()
	return shopWith(t, testdata.Demo)
}

// shopWith serves a book.
func shopWith(t testing.TB, text []byte) *shop {
	t.Helper()
	s := emptyShop(t)
	if _, err := s.svc.ImportBook(context.Background(), tester, text, ""); err != nil {
		t.Fatal(err)
	}
	return s
}

// browser is a client with a session and the cookies of a browser.
type browser struct {
	t    testing.TB
	shop *shop
	http.Client
}

// signIn opens a session through the pages.
func (s *shop) signIn(t testing.TB) *browser {
	t.Helper()
	b := s.visitor(t)
	secret := s.link(t)
	if code, body := b.post("/sign-in", url.Values{"link": {secret}}); code != http.StatusOK {
		t.Fatalf("sign-in: %d\n%s", code, body)
	}
	return b
}

// link makes a code that signs in once.
func (s *shop) link(t testing.TB) string {
	t.Helper()
	if s.program != nil {
		return s.program.link(t)
	}
	return must(s.svc.NewSignInLink(context.Background()))(t)
}

// visitor is a browser that is not signed in.
func (s *shop) visitor(t testing.TB) *browser {
	t.Helper()
	jar := must(cookiejar.New(nil))(t)
	return &browser{t, s, http.Client{Jar: jar}}
}

func (b *browser) get(path string) (int, string) {
	b.t.Helper()
	r, err := b.Get(b.shop.URL + path)
	return b.read(r, err)
}

func (b *browser) post(path string, form url.Values) (int, string) {
	b.t.Helper()
	req := must(http.NewRequest(http.MethodPost, b.shop.URL+path, strings.NewReader(form.Encode())))(b.t)
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	r, err := b.Do(req)
	return b.read(r, err)
}

func (b *browser) read(r *http.Response, err error) (int, string) {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	defer r.Body.Close()
	body := must(io.ReadAll(r.Body))(b.t)
	return r.StatusCode, string(body)
}

// page gets a page that must be there.
func (b *browser) page(path string) string {
	b.t.Helper()
	code, body := b.get(path)
	if code != http.StatusOK {
		b.t.Fatalf("%s: %d\n%s\nlog: %s", path, code, body, b.shop.log)
	}
	return body
}

// lockedLog keeps the lines of the log.
type lockedLog struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (l *lockedLog) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.Write(p)
}

func (l *lockedLog) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.String()
}

// cookies are those the browser sends to the shop.
func (b *browser) cookies() []*http.Cookie {
	b.t.Helper()
	address := must(url.Parse(b.shop.URL))(b.t)
	return b.Jar.Cookies(address)
}

// refuses asks for pages that must name what is wrong, each with words it must
// have: a link to the field, and what was typed.
func (b *browser) refuses(address string, cases map[string][]string) {
	b.t.Helper()
	for query, want := range cases {
		code, body := b.get(address + query)
		checkPage(b.t, query, body)
		if code != http.StatusUnprocessableEntity {
			b.t.Errorf("%s: %d", query, code)
		}
		for _, words := range append(want, "<title>Error: ", "There is a problem") {
			if !strings.Contains(body, words) {
				b.t.Errorf("%s: the page lacks %s", query, words)
			}
		}
	}
}

// must wants a call to work and gives its value.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
