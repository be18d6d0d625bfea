package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"kerfbook/api/edge"
)

const askedQuote = `{"lines":[{"trim":"plain","quantity":"20","batch":"100"},{"trim":"glow","quantity":"10","batch":"100"}],
"destination":"GB","customer":{"name":"Example Interiors","country":"GB"},"valid_days":30,
"delivery":{"term":"DAP","place":"Leeds"},"payment_terms":"30 days","confirm_unverified":true}`

func issueWith(key string) ask {
	return ask{method: "POST", path: "/api/v1/quotes", body: askedQuote, header: map[string]string{"Idempotency-Key": key}}
}

// TestQuoteThroughItsLife previews, issues, reads, revises and withdraws a quote.
func TestQuoteThroughItsLife(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	before := w.rows(t)
	preview := into[quoteOut](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/quote-previews", body: askedQuote}))
	if preview.State != "draft" || len(preview.Lines) != 2 || w.rows(t) != before {
		t.Errorf("%+v", preview)
	}
	issued := into[quoteOut](t, w.want(t, 201, issueWith("one")))
	if issued.Number != "2026-0001" || issued.Revision != 1 || issued.Totals.Total.Value != preview.Totals.Total.Value {
		t.Errorf("%+v", issued)
	}
	path := "/api/v1/quotes/2026-0001"
	read := w.want(t, 200, ask{method: "GET", path: path})
	tag := read.Header().Get("ETag")
	if got := into[quoteOut](t, read); got.Hash != issued.Hash || edge.ETag(got.Version) != tag {
		t.Errorf("%+v with %s", got, tag)
	}
	w.want(t, 304, ask{method: "GET", path: path, header: map[string]string{"If-None-Match": tag}})
	w.quoteFigures(t, path, issued)
	w.quoteFiles(t, path)

	if preview.Basis == nil || len(preview.Basis.Lines) != 2 || !preview.Basis.Lines[0].BatchCost.Known() || issued.Basis != nil {
		t.Errorf("a preview shows the cost of its batches, and a quote does not: %+v, %+v", preview.Basis, issued.Basis)
	}
	next := into[quoteOut](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/quote-previews?revises=2026-0001", body: askedQuote}))
	if next.Number != "2026-0001" || next.Revision != 2 || next.State != "draft" {
		t.Errorf("the preview of a revision is %s, revision %d, %s", next.Number, next.Revision, next.State)
	}

	revise := ask{method: "POST", path: path + "/revisions", body: strings.Replace(askedQuote, `"20"`, `"25"`, 1),
		header: map[string]string{"Idempotency-Key": "two"}}
	w.problem(t, 428, revise)
	revise.header["If-Match"] = tag
	second := into[quoteOut](t, w.want(t, 201, revise))
	if second.Number != issued.Number || second.Revision != 2 || second.Totals.Total.Value == issued.Totals.Total.Value {
		t.Errorf("%+v", second)
	}
	revise.header["Idempotency-Key"] = "three"
	w.problem(t, 412, revise)
	withdraw := ask{method: "POST", path: path + "/withdrawal", header: map[string]string{"Idempotency-Key": "four", "If-Match": tag}}
	w.problem(t, 412, withdraw)
	withdraw.header["If-Match"] = edge.ETag(second.Version)
	if got := into[quoteOut](t, w.want(t, 200, withdraw)); got.State != "withdrawn" {
		t.Errorf("%+v", got)
	}
	if got := into[quoteOut](t, w.want(t, 200, ask{method: "GET", path: path + "?revision=1"})); got.Hash != issued.Hash {
		t.Errorf("the first revision has changed: %+v", got)
	}
	if list := into[quotePage](t, w.want(t, 200, ask{method: "GET", path: "/api/v1/quotes"})); len(list.Items) != 1 || list.Items[0].Revision != 2 {
		t.Errorf("%+v", list)
	}
	if report := into[logReport](t, w.want(t, 200, ask{method: "GET", path: "/api/v1/audit"})); !report.Intact {
		t.Errorf("%+v", report)
	}
}

// quoteFigures asks for the proof of every figure of a quote.
func (w *world) quoteFigures(t *testing.T, path string, q quoteOut) {
	t.Helper()
	data := must(json.Marshal(q))(t)
	var all any
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	found := 0
	eachFigure(all, func(key, value string) {
		found++
		step := into[struct{ Key, Value string }](t, w.want(t, 200, ask{method: "GET", path: path + "/proof?depth=0&key=" + strings.ReplaceAll(key, "+", "%2B")}))
		if step.Value != value || step.Key != key {
			t.Errorf("%s is %s in the quote and %s in its proof", key, value, step.Value)
		}
	})
	if found < 20 {
		t.Errorf("only %d figures", found)
	}
	w.problem(t, 404, ask{method: "GET", path: path + "/proof?key=quote/nothing"})
}

// eachFigure finds everything in an answer that has a key and a value.
func eachFigure(v any, f func(key, value string)) {
	switch v := v.(type) {
	case []any:
		for _, one := range v {
			eachFigure(one, f)
		}
	case map[string]any:
		key, _ := v["key"].(string)
		value, _ := v["value"].(string)
		if key != "" && value != "" {
			f(key, value)
		}
		for _, one := range v {
			eachFigure(one, f)
		}
	}
}

func (w *world) quoteFiles(t *testing.T, path string) {
	t.Helper()
	for format, begin := range map[string]string{"pdf": "%PDF-", "letter.pdf": "%PDF-", "csv": "\xEF\xBB\xBF", "semicolon.csv": "\xEF\xBB\xBF", "data.csv": "", "xlsx": "PK", "cost.xlsx": "PK"} {
		got := w.want(t, 200, ask{method: "GET", path: path + "/files/" + format})
		h := got.Header()
		if !strings.HasPrefix(got.Body.String(), begin) || got.Body.Len() < 500 || h.Get("Cache-Control") != "no-store" ||
			!strings.HasPrefix(h.Get("Content-Disposition"), `attachment; filename="quote-2026-0001`) || h.Get("Content-Type") == jsonType {
			t.Errorf("%s: %d bytes with %v", format, got.Body.Len(), h)
		}
	}
	w.problem(t, 404, ask{method: "GET", path: path + "/files/exe"})
	w.problem(t, 404, ask{method: "GET", path: path + "/files/..%2F..%2Fetc"})
}

// doInTurn asks again as long as it is told that others are being served, as a busy
// machine does.
func (w *world) doInTurn(q ask) *httptest.ResponseRecorder {
	for {
		if got := w.do(q); got.Code != http.StatusServiceUnavailable {
			return got
		}
	}
}

// TestQuotesAreIssuedOnce sends the same request many times at once, and many
// requests with keys of their own.
func TestQuotesAreIssuedOnce(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	if p := w.problem(t, 400, ask{method: "POST", path: "/api/v1/quotes", body: askedQuote}); p.Code != edge.KeyMissing {
		t.Errorf("%+v", p)
	}
	bodies := make([]string, 20)
	var wg sync.WaitGroup
	for i := range bodies {
		wg.Go(func() { bodies[i] = w.doInTurn(issueWith("same")).Body.String() })
	}
	wg.Wait()
	for _, b := range bodies {
		if b != bodies[0] || !strings.Contains(b, "2026-0001") {
			t.Fatalf("%.300s", b)
		}
	}
	numbers := make([]string, 10)
	for i := range numbers {
		wg.Go(func() { numbers[i] = into[quoteOut](t, w.doInTurn(issueWith(fmt.Sprint("own-", i)))).Number })
	}
	wg.Wait()
	seen := map[string]bool{}
	for _, n := range numbers {
		seen[n] = true
	}
	for i := 2; i <= 11; i++ {
		if n := fmt.Sprintf("2026-%04d", i); !seen[n] {
			t.Errorf("no quote has the number %s: %v", n, numbers)
		}
	}
	other := issueWith("same")
	other.body = strings.Replace(askedQuote, "Interiors", "Lamps", 1)
	if p := w.problem(t, 422, other); p.Code != edge.KeyReused {
		t.Errorf("%+v", p)
	}
	// Another actor's key is another key.
	other.token = "quote"
	if got := into[quoteOut](t, w.want(t, 201, other)); got.Number != "2026-0012" {
		t.Errorf("%+v", got)
	}
}

func TestFaultsOfAQuoteComeTogether(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	before := w.rows(t)
	q := issueWith("x")
	q.body = `{"lines":[{"trim":"nope","quantity":"1e9"},{"trim":"plain","quantity":"-3"}],"destination":"XX","customer":{"name":" "},"delivery":{"term":"ABC","place":""},"valid_until":"soon"}`
	p := w.problem(t, 422, q)
	at := map[string]bool{}
	for _, f := range p.Errors {
		if f.Pointer != nil {
			at[*f.Pointer] = true
		}
	}
	for _, want := range []string{"/lines/0/trim", "/lines/0/quantity", "/lines/1/quantity", "/destination", "/customer/name", "/delivery/term", "/valid_until"} {
		if !at[want] {
			t.Errorf("no fault at %s: %+v", want, p.Errors)
		}
	}
	unconfirmed := strings.Replace(askedQuote, `,"confirm_unverified":true`, "", 1)
	q.body = strings.Replace(unconfirmed, `"GB"`, `"JP"`, 1)
	if p := w.problem(t, 422, q); p.Code != edge.Unverified {
		t.Errorf("%+v", p)
	}
	q.body = strings.Replace(askedQuote, `"trim":"plain"`, `"trim":"plain","Trim":"glow","trim":"tune"`, 1)
	if p := w.problem(t, 422, q); len(p.Errors) != 2 {
		t.Errorf("%+v", p)
	}
	if w.rows(t) != before {
		t.Error("a refused quote changed something")
	}
}

// TestQuoteIsIssuedAsPreviewed changes the book between a preview and the issue.
func TestQuoteIsIssuedAsPreviewed(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	preview := ask{method: "POST", path: "/api/v1/quote-previews", body: askedQuote}
	first := into[quoteOut](t, w.want(t, 200, preview))
	book := w.want(t, 200, ask{method: "GET", path: "/api/v1/book"}).Header().Get("ETag")
	w.want(t, 200, ask{method: "POST", path: "/api/v1/changes", header: map[string]string{"If-Match": book, "Idempotency-Key": "change"},
		body: `{"changes":[{"key":"work-centre/MILL/labour-rate","value":"127.50"}]}`})
	before := w.rows(t)
	seen := func(key string, p quoteOut) ask {
		q := issueWith(key)
		q.body = strings.TrimSuffix(askedQuote, "}") + fmt.Sprintf(`,"book_version":%q,"priced_on":%q}`, p.Book, p.Day)
		return q
	}
	if p := w.problem(t, 409, seen("one", first)); p.Code != edge.FiguresChanged || w.rows(t) != before {
		t.Errorf("%+v", p)
	}
	second := into[quoteOut](t, w.want(t, 200, preview))
	late := second
	late.Day = "2026-11-24"
	if p := w.problem(t, 409, seen("one", late)); p.Code != edge.FiguresChanged {
		t.Errorf("%+v", p)
	}
	issued := into[quoteOut](t, w.want(t, 201, seen("one", second)))
	if issued.Totals != second.Totals || issued.Totals == first.Totals || issued.Book != "" {
		t.Errorf("%+v", issued)
	}
}

// TestIssuedQuoteIsLocated follows the headers of an answer and of its replay.
func TestIssuedQuoteIsLocated(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	for range 2 {
		h := w.want(t, 201, issueWith("one")).Header()
		if h.Get("Location") != "/api/v1/quotes/2026-0001" {
			t.Fatalf("found at %q", h.Get("Location"))
		}
		read := w.want(t, 200, ask{method: "GET", path: h.Get("Location")})
		if tag := read.Header().Get("ETag"); tag == "" || tag != h.Get("ETag") {
			t.Errorf("issued with %s, read with %s", h.Get("ETag"), tag)
		}
	}
}
