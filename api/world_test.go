package api

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/testdata"
)

// noon is when tests happen.
var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// world is a whole server with the demo book in a database of its own.
type world struct {
	*API
	handler http.Handler
	log     *lines
	file    string // the database
	asked   *counted
	tokens  map[string]string

	mu  sync.Mutex
	now time.Time
}

// lines is a log that several requests write to.
type lines struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.Write(p)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.String()
}

var noTime time.Time

var maker = service.Actor{Name: "maker", Scopes: service.AllScopes}

func (w *world) clock() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now
}

func (w *world) pass(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now = w.now.Add(d)
}

// newWorld starts a server. It has a token for every scope, one for all of them,
// and one each that has expired and been revoked.
func newWorld(t testing.TB) *world {
	t.Helper()
	w := empty(t)
	ctx := t.Context()
	if _, err := w.service.ImportBook(ctx, maker, testdata.Demo, ""); err != nil {
		t.Fatal(err)
	}
	for name, scopes := range map[string]service.Scopes{
		"read": service.Read, "write": service.Write, "quote": service.Quote, "admin": service.Admin, "all": service.AllScopes,
		"revoked": service.AllScopes, "expired": service.AllScopes,
	} {
		expires := time.Time{}
		if name == "expired" {
			expires = w.clock().Add(time.Minute)
		}
		secret, token, err := w.service.CreateToken(ctx, maker, name, scopes, expires)
		if err != nil {
			t.Fatal(err)
		}
		w.tokens[name] = secret
		if name == "revoked" {
			if err := w.service.RevokeToken(ctx, maker, token.ID); err != nil {
				t.Fatal(err)
			}
		}
	}
	w.pass(2 * time.Minute)
	return w
}

// empty starts a server without a book.
func empty(t testing.TB) *world {
	t.Helper()
	w := &world{log: &lines{}, file: filepath.Join(t.TempDir(), "kerfbook.db"), tokens: map[string]string{}, now: noon}
	st := must(store.Open(t.Context(), w.file))(t)
	t.Cleanup(func() {
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	w.asked = &counted{Store: st}
	s := service.New(w.asked, w.clock, rand.Reader)
	e := must(edge.New(edge.Config{Now: w.clock}, s, slog.New(slog.NewJSONHandler(w.log, nil))))(t)
	w.API = build(s, e)
	w.patience = time.Minute // on a busy machine too
	w.handler = e.Wrap(w.router, edge.WriteProblem)
	return w
}

// counted counts how often a store is asked: a statement or a transaction each.
type counted struct {
	service.Store
	times atomic.Int64
}

func (c *counted) Update(ctx context.Context, f func(service.Tx) error) error {
	c.times.Add(1)
	return c.Store.Update(ctx, f)
}

func (c *counted) View(ctx context.Context, f func(service.Tx) error) error {
	c.times.Add(1)
	return c.Store.View(ctx, f)
}

func (c *counted) BookVersion(ctx context.Context) (answer.Version, error) {
	c.times.Add(1)
	return c.Store.BookVersion(ctx)
}

func (c *counted) TokenByHash(ctx context.Context, hash []byte) (service.StoredToken, answer.Version, error) {
	c.times.Add(1)
	return c.Store.TokenByHash(ctx, hash)
}

// ask is one request of a test.
type ask struct {
	method, path string
	body         string
	token        string // its name; all if empty, nobody if "-"
	header       map[string]string
}

func (w *world) do(q ask) *httptest.ResponseRecorder {
	var body io.Reader
	if q.body != "" {
		body = strings.NewReader(q.body)
	}
	r := httptest.NewRequest(q.method, q.path, body)
	if q.body != "" {
		r.Header.Set("Content-Type", jsonType)
	}
	switch q.token {
	case "-":
	case "":
		r.Header.Set("Authorization", "Bearer "+w.tokens["all"])
	default:
		r.Header.Set("Authorization", "Bearer "+w.tokens[q.token])
	}
	for name, value := range q.header {
		if value == "" {
			r.Header.Del(name)
		} else {
			r.Header.Set(name, value)
		}
	}
	out := httptest.NewRecorder()
	w.handler.ServeHTTP(out, r)
	return out
}

// want makes a request that must be answered with a status.
func (w *world) want(t testing.TB, status int, q ask) *httptest.ResponseRecorder {
	t.Helper()
	out := w.do(q)
	if out.Code != status {
		t.Fatalf("%s %s: %d, want %d: %.600s", q.method, q.path, out.Code, status, out.Body)
	}
	return out
}

// problem makes a request that must fail, and holds the answer against the form
// of problems.
func (w *world) problem(t testing.TB, status int, q ask) edge.Problem {
	t.Helper()
	out := w.want(t, status, q)
	return problemIn(t, out)
}

func problemIn(t testing.TB, out *httptest.ResponseRecorder) edge.Problem {
	t.Helper()
	var p edge.Problem
	d := json.NewDecoder(bytes.NewReader(out.Body.Bytes()))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		t.Fatalf("%v in %.300s", err, out.Body)
	}
	if ct := out.Header().Get("Content-Type"); ct != "application/problem+json" {
		t.Errorf("Content-Type %s", ct)
	}
	switch {
	case p.Status != out.Code, p.Title != p.Code.Title(), p.Type != edge.ProblemType+string(p.Code), p.Detail == "",
		p.RequestID == "" || p.RequestID != out.Header().Get("X-Request-Id"), out.Header().Get("Cache-Control") != "no-store":
		t.Errorf("problem %s with status %d and headers %v", out.Body, out.Code, out.Header())
	}
	for _, f := range p.Errors {
		if f.Detail == "" || f.Pointer == nil && f.Parameter == "" && f.Path == "" || f.Pointer != nil && *f.Pointer != "" && (*f.Pointer)[0] != '/' {
			t.Errorf("field %+v", f)
		}
	}
	return p
}

func into[T any](t testing.TB, out *httptest.ResponseRecorder) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(out.Body.Bytes(), &v); err != nil {
		t.Fatalf("%v in %.300s", err, out.Body)
	}
	return v
}

// clientOfTests is where the requests of tests come from.
var clientOfTests = netip.MustParseAddr("192.0.2.1")

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
