package api

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// sample gives a request for an operation with things that exist in its path.
func (w *world) sample(op *huma.Operation) ask {
	id := map[string]string{
		"parts": "HS-010", "rate cards": "2026", "work centres": "MILL", "materials": "CU-ETP", "suppliers": "DRUSAVEL",
		"products": "LAMP", "destinations": "GB", "quotes": "2026-0001",
	}[op.Tags[0]]
	if id == "" {
		id = "X"
	}
	path := strings.NewReplacer("{kind}", "not_found", "{id}", id, "{number}", "2026-0001", "{format}", "csv", "{change}", "1").Replace(op.Path)
	switch op.OperationID {
	case "get-price-list":
		path += "?quantities=100&trims=plain"
	case "get-proof":
		path += "?mix=plain=100&key=variant/plain/each/stock&depth=0"
	case "get-part-minutes":
		path = strings.Replace(path, "/X/", "/HS-010/", 1) + "?mix=plain=100"
	case "get-quote-proof":
		path += "?key=quote/total&depth=0"
	}
	q := ask{method: op.Method, path: path}
	if op.RequestBody != nil {
		q.body = "{}"
	}
	return q
}

// TestEveryRouteHoldsItsScope asks every route as nobody, with every scope alone,
// and with tokens that have ended.
func TestEveryRouteHoldsItsScope(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	scopes := map[string]service.Scopes{"read": service.Read, "write": service.Write, "quote": service.Quote, "admin": service.Admin}
	asked := 0
	for _, op := range operations(w.API) {
		rt := op.Metadata["route"].(*route)
		for _, who := range []string{"-", "expired", "revoked", "read", "write", "quote", "admin"} {
			q := w.sample(op)
			q.token = who
			want := 0 // neither 401 nor 403
			switch has, alone := scopes[who]; {
			case rt.scope == 0:
			case !alone:
				want = http.StatusUnauthorized
			case !has.Has(rt.scope):
				want = http.StatusForbidden
			}
			out := w.do(q)
			asked++
			refused := out.Code == http.StatusUnauthorized || out.Code == http.StatusForbidden
			if want != 0 && out.Code != want && !(want == 401 && out.Code == 429) || want == 0 && (refused || out.Code >= 500) {
				t.Errorf("%s %s as %s: %d, want %d: %.200s", q.method, q.path, who, out.Code, want, out.Body)
			}
			if refused {
				problemIn(t, out)
			}
			w.edge.Attempts.Succeeded(clientOfTests)
		}
	}
	if asked < 7*80 {
		t.Errorf("only %d requests", asked)
	}
}

// TestEveryRouteRefusesOtherSites sends what another site can make a browser
// send, with a token and with the session of the maker.
func TestEveryRouteRefusesOtherSites(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	cookie := w.signIn(t)
	before := w.rows(t)
	refused := 0
	for _, op := range operations(w.API) {
		for _, header := range []map[string]string{
			{"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "https://elsewhere.example"}, {"Origin": "null"},
		} {
			q := w.sample(op)
			q.header = header
			q.header["Cookie"] = cookie
			for _, who := range []string{"-", "all"} {
				q.token = who
				out := w.do(q)
				safe := q.method == http.MethodGet
				if cross := out.Code == 403 && problemIn(t, out).Code == edge.CrossOrigin; cross == safe {
					t.Errorf("%s %s with %v: %d", q.method, q.path, header, out.Code)
				} else if cross {
					refused++
				}
			}
		}
	}
	if refused < 8*30 {
		t.Errorf("only %d refused", refused)
	}
	if w.rows(t) != before {
		t.Error("another site changed something")
	}
}

func (w *world) signIn(t testing.TB) (cookie string) {
	t.Helper()
	link := must(w.service.NewSignInLink(t.Context()))(t)
	_, secret, err := w.service.SignIn(t.Context(), link)
	if err != nil {
		t.Fatal(err)
	}
	return edge.LocalCookie + "=" + secret
}

// TestReadingChangesNothing asks every route that reads.
func TestReadingChangesNothing(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	before := w.rows(t)
	for _, op := range operations(w.API) {
		if op.Method != http.MethodGet {
			continue
		}
		for _, method := range []string{http.MethodGet, http.MethodHead} {
			q := w.sample(op)
			q.method = method
			out := w.do(q)
			if method == http.MethodHead && out.Body.Len() > 0 {
				// The server cuts it off; the handler may write it.
				continue
			}
			if out.Code >= 500 || out.Code == 405 {
				t.Errorf("%s %s: %d", method, q.path, out.Code)
			}
		}
	}
	if w.rows(t) != before {
		t.Error("reading changed something")
	}
}

func TestSessionsAreTaken(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	cookie := w.signIn(t)
	q := ask{method: "GET", path: "/api/v1/shop", token: "-", header: map[string]string{"Cookie": cookie}}
	w.want(t, 200, q)
	w.pass(31 * time.Minute)
	w.want(t, 401, q)
	// One that is used all day ends all the same.
	q.header["Cookie"] = w.signIn(t)
	for range 23 {
		w.pass(20 * time.Minute)
		w.want(t, 200, q)
	}
	w.pass(25 * time.Minute)
	w.want(t, 401, q)
}

func TestTokens(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	made := into[newToken](t, w.want(t, 201, ask{method: "POST", path: "/api/v1/tokens", token: "all",
		body: `{"name":"till","scopes":["read","quote"],"expires_at":"2026-12-01T00:00:00Z"}`}))
	if made.Secret == "" || made.Token.Name != "till" || len(made.Token.Scopes) != 2 {
		t.Errorf("%+v", made)
	}
	w.tokens["till"] = made.Secret
	shop := ask{method: "GET", path: "/api/v1/shop", token: "till"}
	w.want(t, 200, shop)
	list := w.want(t, 200, ask{method: "GET", path: "/api/v1/tokens"})
	if strings.Contains(list.Body.String(), made.Secret) || !strings.Contains(list.Body.String(), made.Token.ID) {
		t.Errorf("%s", list.Body)
	}
	w.want(t, 204, ask{method: "DELETE", path: "/api/v1/tokens/" + made.Token.ID})
	w.want(t, 401, shop)
	p := w.problem(t, 422, ask{method: "POST", path: "/api/v1/tokens", body: `{"scopes":["reed"],"expires_at":"tomorrow","secret":"x"}`})
	if len(p.Errors) != 4 {
		t.Errorf("%+v", p.Errors)
	}
	// A token makes none that may do more than itself.
	p = w.problem(t, 403, ask{method: "POST", path: "/api/v1/tokens", token: "admin", body: `{"name":"more","scopes":["write"]}`})
	if p.Code != edge.Forbidden {
		t.Errorf("%+v", p)
	}
}

// TestSecretsStayOut sends secrets in every place that the interface reads and
// looks for them in the log and in answers.
func TestSecretsStayOut(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const canary = "canary9d3e71"
	cookie := w.signIn(t)
	for _, op := range operations(w.API) {
		q := w.sample(op)
		sep := "?"
		if strings.Contains(q.path, "?") {
			sep = "&"
		}
		q.path += sep + canary + "=" + canary
		q.token = "-"
		if q.body != "" {
			q.body = `{"` + canary + `":"` + canary + `"}`
		}
		q.header = map[string]string{
			"Authorization": "Bearer " + canary, "Cookie": edge.LocalCookie + "=" + canary, "If-Match": `"` + canary + `"`,
			"Idempotency-Key": canary, "User-Agent": canary, "X-Request-Id": canary, "X-Forwarded-For": canary,
		}
		w.do(q)
		q.header["Authorization"] = "Bearer " + w.tokens["all"]
		q.header["Cookie"] = cookie
		w.do(q)
		w.edge.Attempts.Succeeded(clientOfTests)
	}
	secrets := []string{canary, strings.TrimPrefix(cookie, edge.LocalCookie+"=")}
	for _, s := range w.tokens {
		secrets = append(secrets, s)
	}
	log := w.log.String()
	for _, s := range secrets {
		if strings.Contains(log, s) {
			t.Errorf("%q is in the log", s)
		}
	}
	if strings.Count(log, "\n") < 2*80 {
		t.Error("hardly anything was logged")
	}
}
