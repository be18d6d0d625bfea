package edge

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

func kindOf(err error) Kind {
	if err == nil {
		return ""
	}
	return FailureOf(err).Kind
}

func TestCaller(t *testing.T) {
	t.Parallel()
	known := holders{"tok": {Name: "token a", Scopes: service.Read}, "cook": {Name: "maker", Scopes: service.AllScopes}}
	for _, c := range []struct {
		what, header, cookie string
		tls                  bool
		want                 string
		kind                 Kind
	}{
		{"nothing", "", "", false, "", Unauthorized},
		{"token", "Bearer tok", "", false, "token a", ""},
		{"scheme in any case", "bEARER tok", "", false, "token a", ""},
		{"unknown token", "Bearer nope", "", false, "", Unauthorized},
		{"another scheme", "Basic tok", "", false, "", Unauthorized},
		{"no secret", "Bearer ", "", false, "", Unauthorized},
		{"session", "", LocalCookie + "=cook", false, "maker", ""},
		{"session over TLS", "", SecureCookie + "=cook", true, "maker", ""},
		{"plain cookie over TLS", "", LocalCookie + "=cook", true, "", Unauthorized},
		{"secure cookie without TLS", "", SecureCookie + "=cook", false, "", Unauthorized},
		{"ended session", "", LocalCookie + "=old", false, "", Unauthorized},
		{"wrong token beside a session", "Bearer nope", LocalCookie + "=cook", false, "", Unauthorized},
		{"token in the cookie", "", LocalCookie + "=tok2", false, "", Unauthorized},
	} {
		e, _ := newEdge(t, Config{TLS: c.tls}, known)
		r := httptest.NewRequest("GET", "/", nil)
		if c.header != "" {
			r.Header.Set("Authorization", c.header)
		}
		if c.cookie != "" {
			r.Header.Set("Cookie", c.cookie)
		}
		a, err := e.Caller(r)
		if a.Name != c.want || kindOf(err) != c.kind {
			t.Errorf("%s: %q, %v", c.what, a.Name, err)
		}
	}
}

func TestSessionCookie(t *testing.T) {
	t.Parallel()
	for _, tls := range []bool{true, false} {
		e, _ := newEdge(t, Config{TLS: tls}, nil)
		r, w := httptest.NewRequest("GET", "http://127.0.0.1:8080/", nil), httptest.NewRecorder()
		e.SetSession(w, r, "secret")
		c := w.Result().Cookies()[0]
		if !c.HttpOnly || c.Path != "/" || c.Domain != "" || c.SameSite != http.SameSiteLaxMode || c.Secure != tls || c.MaxAge != 0 {
			t.Errorf("%s", c)
		}
		if strings.HasPrefix(c.Name, "__Host-") != tls {
			t.Errorf("TLS %t: the cookie is called %s", tls, c.Name)
		}
		r.AddCookie(c)
		if e.SessionSecret(r) != "secret" {
			t.Error("not read back")
		}
		if r.Host = "127.0.0.1:8081"; e.SessionSecret(r) != "" && !tls {
			t.Error("the session of one port is read at another")
		}
		r.Host = "127.0.0.1:8080"
		w = httptest.NewRecorder()
		e.ClearSession(w, r)
		if c := w.Result().Cookies()[0]; c.MaxAge >= 0 || c.Value != "" {
			t.Errorf("%s", c)
		}
	}
}

func TestAttemptsAreSlowedDown(t *testing.T) {
	t.Parallel()
	now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	a := newAttempts(Config{Now: func() time.Time { return now }}.WithDefaults())
	home, other := netip.MustParseAddr("192.0.2.1"), netip.MustParseAddr("192.0.2.2")
	for range 4 {
		a.Failed(home)
	}
	if w := a.Wait(home); w != 0 {
		t.Errorf("after four: %s", w)
	}
	for i, want := range []time.Duration{1, 2, 4, 8, 16} {
		a.Failed(home)
		if w := a.Wait(home); w != want*time.Second {
			t.Errorf("after %d: %s", 5+i, w)
		}
	}
	for range 40 {
		a.Failed(home)
	}
	if w := a.Wait(home); w != 15*time.Minute || a.Wait(other) != 0 {
		t.Errorf("after many: %s, another address %s", w, a.Wait(other))
	}
	now = now.Add(15*time.Minute + 1)
	if w := a.Wait(home); w != 0 {
		t.Errorf("after the wait: %s", w)
	}
	a.Failed(home)
	if w := a.Wait(home); w != 0 {
		t.Errorf("the old ones still count: %s", w)
	}
	a.Succeeded(home)
	if len(a.tries) != 0 {
		t.Error("a right one is not forgotten")
	}
}

func TestAttemptsOfANetworkCountTogether(t *testing.T) {
	t.Parallel()
	a := newAttempts(Config{}.WithDefaults())
	for _, host := range []string{"2001:db8::1", "2001:db8::2", "2001:db8::3", "2001:db8::4", "2001:db8::ffff:1"} {
		a.Failed(netip.MustParseAddr(host))
	}
	if a.Wait(netip.MustParseAddr("2001:db8::77")) == 0 || a.Wait(netip.MustParseAddr("2001:db8:0:1::1")) != 0 {
		t.Error("a /64 is one party, the next is another")
	}
	for i := range 2 * maxWatched {
		a.Failed(netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)}))
	}
	if len(a.tries) > maxWatched {
		t.Errorf("%d addresses are kept", len(a.tries))
	}
}

// TestWrongTokensWait sends wrong tokens until the answer is to wait, and a right
// one, which is taken all the same.
func TestWrongTokensWait(t *testing.T) {
	t.Parallel()
	e, _ := newEdge(t, Config{}, holders{"right": {Name: "token"}})
	h := func(w http.ResponseWriter, r *http.Request) {
		if _, err := e.Caller(r); err != nil {
			WriteProblem(w, r, e.Explain(r, err))
		}
	}
	ask := func(secret string) *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", "/", nil)
		r.Header.Set("Authorization", "Bearer "+secret)
		return send(e, h, r)
	}
	for i := range 5 {
		if w := ask("wrong"); w.Code != 401 || w.Header().Get("WWW-Authenticate") == "" {
			t.Errorf("%d: %d %v", i, w.Code, w.Header())
		}
	}
	if w := ask("wrong"); w.Code != 429 || w.Header().Get("Retry-After") != "1" {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if w := ask("right"); w.Code != 200 {
		t.Errorf("%d", w.Code)
	}
}

func TestEveryCodeOfTheUseCasesIsTold(t *testing.T) {
	t.Parallel()
	source, err := os.ReadFile("../answer/errors.go")
	if err != nil {
		t.Fatal(err)
	}
	codes := regexp.MustCompile(`Code = "(\w+)"`).FindAllStringSubmatch(string(source), -1)
	if len(codes) < 17 {
		t.Errorf("%d codes", len(codes))
	}
	for _, found := range codes {
		code := answer.Code(found[1])
		kind := Kind(code)
		if kind.Status() == 0 {
			t.Errorf("%s is no kind of failure", code)
		}
		f := FailureOf(&answer.Error{Code: code, Message: "words for users", Err: errors.New("words of the machine"),
			Fields: []answer.FieldError{{Pointer: "/a", Path: "a", Message: "fault"}}})
		if f.Kind != kind || strings.Contains(f.Detail, "machine") || f.Detail == "words for users" == (kind == Internal) {
			t.Errorf("%s: %+v", code, f)
		}
	}
	if f := FailureOf(errors.New("secret")); f.Kind != Internal || strings.Contains(f.Detail, "secret") {
		t.Errorf("%+v", f)
	}
	for _, k := range Kinds() {
		if k.Status() < 400 || k.Title() == "" || k.Help() == "" {
			t.Errorf("%s is not told", k)
		}
	}
}
