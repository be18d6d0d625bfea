package edge

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// holders are accounts of secrets that tests know.
type holders map[string]service.Actor

func (h holders) TokenOf(_ context.Context, secret string) (service.Token, answer.Version, error) {
	a, ok := h[secret]
	if !ok {
		return service.Token{}, "", &answer.Error{Code: answer.Unauthorized, Message: "this token is not known"}
	}
	return service.Token{Name: strings.TrimPrefix(a.Name, "token "), Scopes: a.Scopes}, "", nil
}

func (h holders) SessionOf(_ context.Context, cookie string) (service.Session, error) {
	a, ok := h[cookie]
	if !ok {
		return service.Session{}, &answer.Error{Code: answer.Gone, Message: "this session has ended"}
	}
	return service.Session{Actor: a}, nil
}

// newEdge makes an edge that writes its log into a buffer.
func newEdge(t testing.TB, c Config, accounts holders) (*Edge, *bytes.Buffer) {
	t.Helper()
	log := new(bytes.Buffer)
	e, err := New(c, accounts, slog.New(slog.NewJSONHandler(log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	return e, log
}

// send runs one request through everything.
func send(e *Edge, next http.HandlerFunc, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	e.Wrap(next, WriteProblem).ServeHTTP(w, r)
	return w
}

func problemIn(t testing.TB, w *httptest.ResponseRecorder) Problem {
	t.Helper()
	var p Problem
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
		t.Fatalf("%v in %q", err, w.Body)
	}
	if p.Status != w.Code || w.Header().Get("Content-Type") != "application/problem+json" || p.RequestID != w.Header().Get("X-Request-Id") {
		t.Errorf("problem %+v with status %d and headers %v", p, w.Code, w.Header())
	}
	return p
}

func fine(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "fine") }

func TestCrossOriginRequestsAreRefused(t *testing.T) {
	t.Parallel()
	plain, _ := newEdge(t, Config{}, nil)
	proxied, _ := newEdge(t, Config{PublicOrigin: "https://costs.example"}, nil)
	for _, c := range []struct {
		method, site, origin string
		edge                 *Edge
		want                 int
	}{
		{"POST", "cross-site", "", plain, 403},
		{"POST", "same-site", "", plain, 403},
		{"PUT", "cross-site", "", plain, 403},
		{"DELETE", "cross-site", "", plain, 403},
		{"POST", "same-origin", "", plain, 200},
		{"POST", "none", "", plain, 200},
		{"POST", "", "https://elsewhere.example", plain, 403},
		{"POST", "", "null", plain, 403},
		{"POST", "", "http://inside.example", plain, 200},
		{"POST", "", "", plain, 200},
		{"GET", "cross-site", "https://elsewhere.example", plain, 200},
		{"POST", "", "https://costs.example", plain, 403},
		{"POST", "", "https://costs.example", proxied, 200},
		{"POST", "cross-site", "https://elsewhere.example", proxied, 403},
	} {
		r := httptest.NewRequest(c.method, "http://inside.example/", nil)
		if c.site != "" {
			r.Header.Set("Sec-Fetch-Site", c.site)
		}
		if c.origin != "" {
			r.Header.Set("Origin", c.origin)
		}
		if w := send(c.edge, fine, r); w.Code != c.want {
			t.Errorf("%s with Sec-Fetch-Site %q and Origin %q: %d, want %d", c.method, c.site, c.origin, w.Code, c.want)
		} else if c.want == 403 && problemIn(t, w).Code != CrossOrigin {
			t.Errorf("%s: %s", c.method, w.Body)
		}
	}
}

func TestEveryAnswerIsHardened(t *testing.T) {
	t.Parallel()
	for _, tls := range []bool{false, true} {
		e, _ := newEdge(t, Config{TLS: tls}, nil)
		for what, next := range map[string]http.HandlerFunc{
			"fine":  fine,
			"panic": func(http.ResponseWriter, *http.Request) { panic("no") },
			"error": func(w http.ResponseWriter, r *http.Request) {
				WriteProblem(w, r, FailureOf(&Refusal{Kind: NotFound}))
			},
		} {
			h := send(e, next, httptest.NewRequest("GET", "/", nil)).Header()
			for name, want := range map[string]string{
				"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cache-Control": "no-store",
				"Content-Security-Policy": DataPolicy, "X-Frame-Options": "DENY", "Cross-Origin-Opener-Policy": "same-origin",
			} {
				if got := h.Get(name); got != want {
					t.Errorf("%s: %s is %q", what, name, got)
				}
			}
			if got := h.Get("Strict-Transport-Security") != ""; got != tls {
				t.Errorf("%s: TLS %t, HSTS %t", what, tls, got)
			}
			if len(h.Get("X-Request-Id")) < 20 {
				t.Errorf("%s: request id %q", what, h.Get("X-Request-Id"))
			}
			if h.Get("Access-Control-Allow-Origin") != "" {
				t.Errorf("%s: other sites are let in", what)
			}
		}
	}
	if strings.Contains(PagePolicy, "unsafe") || strings.Contains(PagePolicy, "http") {
		t.Errorf("the policy of pages is loose: %s", PagePolicy)
	}
}

func TestPanicsBecomeProblems(t *testing.T) {
	t.Parallel()
	e, log := newEdge(t, Config{}, nil)
	w := send(e, func(http.ResponseWriter, *http.Request) { panic("secret words of the panic") }, httptest.NewRequest("GET", "/", nil))
	if p := problemIn(t, w); p.Status != 500 || p.Code != Internal {
		t.Errorf("%+v", p)
	}
	for _, leak := range []string{"secret words", ".go:", "goroutine"} {
		if strings.Contains(w.Body.String(), leak) {
			t.Errorf("%q is told to the client", leak)
		}
	}
	if strings.Contains(log.String(), "secret words") || !strings.Contains(log.String(), "edge_test.go") {
		t.Errorf("log: %s", log)
	}
}

// TestPanicInTheMiddleCutsTheConnection makes sure that half an answer is never
// taken for a whole one.
func TestPanicInTheMiddleCutsTheConnection(t *testing.T) {
	t.Parallel()
	e, _ := newEdge(t, Config{}, nil)
	s := httptest.NewServer(e.Wrap(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, strings.Repeat("half ", 2000))
		panic("no")
	}), WriteProblem))
	defer s.Close()
	result, err := http.Get(s.URL)
	if err != nil {
		return
	}
	defer result.Body.Close()
	if data, err := io.ReadAll(result.Body); err == nil {
		t.Errorf("a whole answer of %d bytes", len(data))
	}
}

func TestReadiness(t *testing.T) {
	t.Parallel()
	e, _ := newEdge(t, Config{}, nil)
	status := func(path string) int { return send(e, fine, httptest.NewRequest("GET", path, nil)).Code }
	well := func(context.Context) error { return nil }
	ill := func(context.Context) error { return &answer.Error{Code: answer.Internal, Message: "no store"} }
	hangs := func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }
	ready := func(check func(context.Context) error) bool { return e.Ready(t.Context(), check) == nil }
	if status("/x") != 200 || !ready(well) || ready(ill) {
		t.Error("a server that runs")
	}
	e.Config.ReadyTimeout = 1
	if ready(hangs) {
		t.Error("a store that hangs is ready")
	}
	e.Draining.Store(true)
	if status("/x") != 200 || ready(well) {
		t.Error("a server about to stop serves what comes and is not ready")
	}
	if f := FailureOf(notReady()); f.Kind.Status() != 503 || f.Wait == 0 {
		t.Errorf("%+v", f)
	}
}

func TestMethodsThatHelpNobody(t *testing.T) {
	t.Parallel()
	e, _ := newEdge(t, Config{}, nil)
	for _, m := range []string{"TRACE", "CONNECT"} {
		if w := send(e, fine, httptest.NewRequest(m, "http://x/", nil)); w.Code != 405 {
			t.Errorf("%s: %d", m, w.Code)
		}
	}
}
