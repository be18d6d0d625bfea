package main

import (
	"bytes"
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"go.yaml.in/yaml/v3"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/costing/book/record"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/text"
	"kerfbook/testdata"
	"kerfbook/web"
)

// openToQuotes are the routes and pages of who may quote without seeing cost. Every other one
// is closed to them, a new one too until it stands here.
var openToQuotes = []string{
	"GET /healthz", "GET /readyz", "GET /api/v1/openapi.yaml", "GET /api/v1/problems/{kind}",
	"GET /api/v1/prices-asked", "GET /api/v1/quotes", "POST /api/v1/quotes", "GET /api/v1/quotes/{number}", "GET /api/v1/quotes/{number}/files/{format}",
	"POST /api/v1/quotes/{number}/revisions", "POST /api/v1/quotes/{number}/withdrawal", "POST /api/v1/quote-previews",
	"GET /", "GET /prices", "GET /quotes", "GET /quotes/new", "POST /quotes", "GET /quotes/{number}", "GET /quotes/{number}/revise",
	"POST /quotes/{number}/withdraw", "GET /quotes/{number}/file/{format}", "GET /writing", "POST /writing",
}

// closedShop is a server with a person who may only quote, and a token for as much.
type closedShop struct {
	svc     *service.Service
	url     string
	browser *http.Client
	token   string
	tells   []string // figures that nobody without sight of costs may read
}

// TestNoCostForWhoOnlyQuotes asks every route and page as a person, and with a token, that may
// quote without seeing cost: none tells a cost, a rate or a price that was paid.
func TestNoCostForWhoOnlyQuotes(t *testing.T) {
	t.Parallel()
	s := openClosedShop(t)
	asked := 0
	for _, op := range append(s.operations(t), pagesOf()...) {
		method, path, _ := strings.Cut(op, " ")
		for _, token := range []bool{false, true} {
			if token && !strings.HasPrefix(path, "/api/") {
				continue
			}
			code, body := s.ask(t, method, sampled(path), "{}", token)
			s.tellsNothing(t, op, body)
			open := slices.Contains(openToQuotes, op)
			if asked++; open == (code == http.StatusForbidden) || code == http.StatusUnauthorized || code >= 500 {
				t.Errorf("%s (token %t): %d, open %t: %.300s", op, token, code, open, body)
			}
			if !open && !token && !strings.Contains(body, "Ana can give you all rights") {
				t.Errorf("%s: who may grant it is not said: %.300s", op, body)
			}
		}
	}
	if asked < 250 {
		t.Errorf("only %d requests", asked)
	}
	s.quotes(t)
	s.brokenBook(t)
}

// quotes makes a quote in every way there is.
func (s *closedShop) quotes(t *testing.T) {
	t.Helper()
	const base = "/api/v1"
	want := func(code int, method, path, body string) string {
		t.Helper()
		got, text := s.ask(t, method, path, body, false)
		if got != code {
			t.Errorf("%s %s: %d: %.400s", method, path, got, text)
		}
		s.tellsNothing(t, method+" "+path, text)
		return text
	}
	want(200, "POST", base+"/quote-previews", aQuote)
	want(422, "POST", base+"/quote-previews", strings.Replace(aQuote, `"plain"`, `"none"`, 1))
	want(403, "POST", base+"/quote-previews", strings.Replace(aQuote, `"trim":"plain"`, `"part":"HS-010","margin":"0"`, 1))
	s.margin(t)
	want(403, "GET", base+"/quotes/2026-0001/files/cost.xlsx", "")
	want(403, "GET", "/quotes/2026-0001/file/cost.xlsx", "")
	for _, path := range []string{base + "/quotes/2026-0001", base + "/quotes/2026-0001/files/data.csv", base + "/prices-asked?quantity=50", "/prices?quantity=50", "/quotes/2026-0001", "/quotes/2026-0001/revise"} {
		if text := want(200, "GET", path, ""); strings.Contains(text, "/proof/") || strings.Contains(text, "cost.xlsx") {
			t.Errorf("%s leads to costs", path)
		}
	}
	form := url.Values{"q.plain": {"40"}, "b.plain": {"100"}, "destination": {"DE"}, "customer.name": {"Beispiel Wohnen"}, "customer.country": {"DE"},
		"delivery.term": {"DAP"}, "delivery.place": {"Munich"}, "valid_days": {"30"}, "act": {"preview"}}
	answer := must(s.browser.PostForm(s.url+"/quotes", form))(t)
	defer answer.Body.Close()
	page := string(must(io.ReadAll(answer.Body))(t))
	if answer.StatusCode != 200 || !strings.Contains(page, "Issue the quote") || strings.Contains(page, "What the prices rest on") {
		t.Errorf("the preview: %d", answer.StatusCode)
	}
	s.tellsNothing(t, "the preview", page)
}

// margin lets the owner quote a part with a margin of its own, which is neither told nor
// changed behind their back.
func (s *closedShop) margin(t *testing.T) {
	t.Helper()
	asked := strings.Replace(aQuote, `"trim":"plain"`, `"part":"HS-010","margin":"0.4321"`, 1)
	asked = strings.Replace(strings.ReplaceAll(asked, `"GB"`, `"IT"`), `"country":"IT"}`, `"country":"IT","tax_number":"IT00000000000"}`, 1)
	var req quote.Request
	if _, err := text.DecodeAnyText([]byte(asked), &req); err != nil {
		t.Fatal(err)
	}
	var number string
	err := s.svc.Update(t.Context(), func(tx service.Tx) error {
		q, err := s.svc.IssueQuote(t.Context(), tx, maker(), "", req)
		if err == nil {
			number = q.Number
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/api/v1/quotes/" + number, "/quotes/" + number, "/quotes/" + number + "/revise"} {
		if code, body := s.ask(t, "GET", path, "", false); code != 200 || strings.Contains(body, "4321") || strings.Contains(body, "43.21") {
			t.Errorf("%s: %d, or it tells the margin", path, code)
		}
	}
	if code, body := s.ask(t, "POST", "/api/v1/quote-previews?revises="+number, aQuote, false); code != 403 {
		t.Errorf("revising it: %d %.200s", code, body)
	}
}

// brokenBook takes a price away that all of it rests on: what is missing is not told.
func (s *closedShop) brokenBook(t *testing.T) {
	t.Helper()
	heads, _, err := s.svc.Records(t.Context(), "offers", "", 200)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range heads {
		if _, err := s.svc.DeleteRecord(t.Context(), maker(), "offers", h.ID, answer.AnyVersion); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ method, path, body string }{{"POST", "/api/v1/quote-previews", aQuote}, {"GET", "/api/v1/prices-asked", ""}, {"GET", "/prices", ""}} {
		_, body := s.ask(t, c.method, c.path, c.body, false)
		s.tellsNothing(t, c.path+" of a book with gaps", body)
		for _, h := range heads {
			if strings.Contains(body, h.ID) || strings.Contains(body, "offers") {
				t.Errorf("%s tells of %s: %.300s", c.path, h.ID, body)
				break
			}
		}
	}
}

func openClosedShop(t *testing.T) *closedShop {
	t.Helper()
	clock := func() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) }
	st := must(store.Open(t.Context(), filepath.Join(t.TempDir(), "shop.db")))(t)
	t.Cleanup(func() { st.Close() })
	s := &closedShop{svc: service.New(st, clock, rand.Reader)}
	book := bytes.Replace(testdata.Demo, []byte("labour_rate_per_h: 26.00"), []byte("labour_rate_per_h: 26.8731"), 1)
	must(s.svc.ImportBook(t.Context(), maker(), book, ""))(t)
	must(s.svc.SetPerson(t.Context(), maker(), "", "Ana", service.AllRights, false))(t)
	rita := must(s.svc.SetPerson(t.Context(), maker(), "", "Rita", service.QuoteOnly, false))(t)
	_, handler, err := handlersAt(edge.Config{Now: clock, Attempts: 1000}, s.svc, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	jar, _ := cookiejar.New(nil)
	s.url, s.browser = server.URL, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	link := must(s.svc.NewLinkFor(t.Context(), maker(), rita.Name))(t)
	answer := must(s.browser.PostForm(s.url+"/sign-in", url.Values{"link": {link}}))(t)
	answer.Body.Close()
	secret, _, err := s.svc.CreateToken(t.Context(), maker(), "shop window", service.Prices|service.Quote, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	s.token = secret
	if code, body := s.ask(t, "POST", "/api/v1/quotes", aQuote, false); code != http.StatusCreated {
		t.Fatalf("issuing: %d %s", code, body)
	}
	s.tells = s.telltales(t)
	return s
}

// telltales are the costs of all trims, and what was typed of rates and prices paid.
func (s *closedShop) telltales(t *testing.T) (out []string) {
	t.Helper()
	b, _, err := s.svc.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	put := func(value string) {
		d, err := decimal.NewFromString(value)
		if err == nil && len(strings.Trim(value, "0.-")) >= 5 {
			out = append(out, value)
		}
		if short := d.Abs().StringFixed(2); err == nil && len(short) >= 5 && !strings.HasSuffix(short, "00") {
			out = append(out, short, strings.Replace(short, ".", ",", 1))
		}
	}
	var asked []string
	for _, q := range []int64{10, 50, 100} {
		list, _, err := s.svc.PriceList(t.Context(), answer.PriceRequest{Day: "2026-11-25", Quantities: []decimal.Decimal{decimal.NewFromInt(q)}})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range list.Estimates {
			for _, v := range e.Variants {
				for _, f := range append(v.Kinds, v.Material, v.Making, v.Special, v.Production, v.Full) {
					put(f.Value)
				}
				for _, ch := range v.Channels {
					asked = append(asked, ch.Shelf.Value, ch.ShelfNet.Value)
					for _, f := range []answer.Figure{ch.Profit, ch.TargetCost, ch.RestsOnCost} {
						put(f.Value)
					}
				}
			}
		}
	}
	for _, kind := range []string{"offers", "work_centres", "outside_processes", "metal_prices"} {
		k, _ := record.KindOf(kind)
		for _, r := range record.All(b, k) {
			for _, f := range must(text.Differences(reflect.Zero(k.Type).Interface(), r.Value.Interface()))(t) {
				put(f.After)
			}
		}
	}
	slices.Sort(out)
	out = slices.Compact(out)
	if len(out) < 100 || !slices.Contains(out, "26.8731") {
		t.Fatalf("only %d telltales", len(out))
	}
	return slices.DeleteFunc(out, func(tell string) bool { return slices.Contains(asked, tell) })
}

// tellsNothing looks for a figure that is a cost.
func (s *closedShop) tellsNothing(t *testing.T, where, body string) {
	t.Helper()
	for _, tell := range s.tells {
		for at := 0; ; {
			i := strings.Index(body[at:], tell)
			if i < 0 {
				break
			}
			at += i + len(tell)
			before, after := body[:at-len(tell)], body[at:]
			if strings.TrimRight(before, "0123456789.") != before || strings.TrimLeft(after, "0123456789") != after {
				continue // within a longer number
			}
			t.Errorf("%s tells %s: …%.60s", where, tell, body[max(0, at-60):])
		}
	}
}

func (s *closedShop) ask(t *testing.T, method, path, body string, token bool) (int, string) {
	t.Helper()
	req := must(http.NewRequest(method, s.url+path, strings.NewReader(body)))(t)
	client := s.browser
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Idempotency-Key", fmt.Sprintf("%p", req))
	if !strings.HasPrefix(path, "/api/") {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Body = io.NopCloser(strings.NewReader(""))
		req.ContentLength = 0
	}
	if token {
		client = http.DefaultClient
		req.Header.Set("Authorization", "Bearer "+s.token)
	}
	answer := must(client.Do(req))(t)
	defer answer.Body.Close()
	return answer.StatusCode, string(must(io.ReadAll(answer.Body))(t))
}

// operations lists the routes as the document has them.
func (s *closedShop) operations(t *testing.T) (out []string) {
	t.Helper()
	_, written := s.ask(t, "GET", "/api/v1/openapi.yaml", "", false)
	var document struct{ Paths map[string]map[string]any }
	if err := yaml.Unmarshal([]byte(written), &document); err != nil {
		t.Fatal(err)
	}
	for path, methods := range document.Paths {
		for method := range methods {
			out = append(out, strings.ToUpper(method)+" "+path)
		}
	}
	slices.Sort(out)
	return out
}

// pagesOf lists the pages of all rooms.
func pagesOf() (out []string) {
	for _, room := range web.Rooms() {
		for _, a := range room {
			out = append(out, a.Method+" "+a.Pattern)
		}
	}
	return out
}

var parameter = regexp.MustCompile(`\{\w+\}`)

// sampled puts things that exist into a path.
func sampled(path string) string {
	if strings.Contains(path, "/quotes/") {
		path = strings.Replace(path, "{number}", "2026-0001", 1)
	}
	path = strings.NewReplacer("/problems/{kind}", "/problems/invalid", "{kind}", "parts", "{format}", "csv", "{change}", "1", "/*", "/variant/plain/each/full").Replace(path)
	return parameter.ReplaceAllString(path, "HS-010")
}
