package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"
	"github.com/go-chi/chi/v5"
)

// transcripts are conversations whose answers are kept in testdata, for people to
// read and for changes of the interface to show.
var transcripts = map[string][]ask{
	"records": {
		{method: "GET", path: "/api/v1/suppliers?page_size=2"},
		{method: "GET", path: "/api/v1/suppliers?page_size=2&after=c3VwcGxpZXJzCktFTFZJQQ"},
		{method: "GET", path: "/api/v1/parts/HS-010"},
		{method: "GET", path: "/api/v1/parts/NONE"},
		{method: "GET", path: "/api/v1/destinations/CA-ON"},
		{method: "GET", path: "/api/v1/rate-cards/2026"},
		{method: "PUT", path: "/api/v1/suppliers/NOVO", body: `{"id":"NOVO","name":"Novo Exemplo"}`},
		{method: "PUT", path: "/api/v1/suppliers/NOVO", body: `{"id":"NOVO","name":"Novo Exemplo"}`, header: map[string]string{"If-None-Match": "*"}},
		{method: "PUT", path: "/api/v1/suppliers/NOVO", body: `{"id":"NOVO","name":"","colour":"red"}`, header: map[string]string{"If-Match": `"1-0"`}},
		{method: "PUT", path: "/api/v1/suppliers/NOVO", body: `{"id":"NOVO","name":"Novo"}`, header: map[string]string{"If-Match": `"1-0"`}},
		{method: "GET", path: "/api/v1/suppliers/NOVO/revisions"},
		{method: "DELETE", path: "/api/v1/suppliers/DRUSAVEL", header: map[string]string{"If-Match": "TAG"}},
		{method: "POST", path: "/api/v1/records?preview=true", body: partAndOffer},
		{method: "POST", path: "/api/v1/records", body: partAndOffer, header: map[string]string{"Idempotency-Key": "clip"}},
		{method: "POST", path: "/api/v1/records", body: partAndOffer, header: map[string]string{"Idempotency-Key": "clip"}},
		{method: "POST", path: "/api/v1/records", body: partAndOffer, header: map[string]string{"Idempotency-Key": "clip-again"}},
		{method: "POST", path: "/api/v1/records", body: `{"records":{"suppliers":[{"id":"A"},{"id":"B","name":""}]},"remove":{"parts":["X"]}}`, header: map[string]string{"Idempotency-Key": "faults"}},
		{method: "POST", path: "/api/v1/records", body: `{"remove":{"parts":["CLIP-3"]},"if_match":{"parts/CLIP-3":"*"}}`, header: map[string]string{"Idempotency-Key": "out"}},
	},
	"figures": {
		{method: "GET", path: "/api/v1/price-lists?quantities=100,x&day=2026-13-01&together=perhaps&colour=red"},
		{method: "GET", path: "/api/v1/price-lists?quantities=100&trims=plain&day=2026-11-25"},
		{method: "POST", path: "/api/v1/price-lists", body: `{"quantities":["100"],"trims":["plane"]}`},
		{method: "POST", path: "/api/v1/estimates", body: `{"mix":[{"product":"LAMP","trim":"glow","choices":{"mount":"wall"},"quantity":"50"},{"product":"LAMP","trim":"plain","quantity":"100"}]}`},
		{method: "POST", path: "/api/v1/estimates", body: `{"mix":[{"product":"LAMP","trim":"plain","quantity":{"low":"80","likely":"100","high":"120"}}]}`},
		{method: "GET", path: "/api/v1/proofs?mix=plain%3D100&key=variant/plain/each/full&depth=1"},
		{method: "GET", path: "/api/v1/proofs?mix=plain%3D100&key=variant/plain/each/ful&depth=1"},
		{method: "POST", path: "/api/v1/proofs", body: `{"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}],"key":"mix/plain","depth":0}`},
		{method: "POST", path: "/api/v1/what-ifs", body: `{"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}],"changes":[{"key":"mix/plain","value":"0"},{"key":"no/such","value":"1"}]}`},
		{method: "POST", path: "/api/v1/changes", body: `{"changes":[{"key":"work-centre/MILL/labour-rate","value":"27.50"}]}`},
		{method: "POST", path: "/api/v1/stateless/proof", body: `{"book":{"kerfbook":1},"request":{"mix":[],"key":""}}`},
	},
	"spreads": {
		askSpread(`{` + glow + `,"draws":0,"seed":-1}`),
		askSpread(`{` + glow + `,"figures":["variant/glow/ful"],"prices":[{"channel":"fair","price":"249.90"}],"changes":[]}`),
		askSpread(`{` + glow + `,"figures":["variant/glow/each/full"],"draws":10240,"prices":[{"channel":"direct","price":"249.90","chance":"0.7"}]}`),
		{method: "GET", path: "/api/v1/spreads/0123456789abcdef0123456789abcdef"},
		{method: "DELETE", path: "/api/v1/spreads/0123456789abcdef0123456789abcdef"},
		{method: "POST", path: "/api/v1/curves", body: `{"curves":[{"trim":"glow"}],"from":"20","to":"22","breaks":1}`},
		{method: "POST", path: "/api/v1/curves", body: `{"curves":[{"trim":"shiny"}],"from":"20","to":"10"}`},
		{method: "POST", path: "/api/v1/bands", body: `{"part":"KNOB","pieces":"0"}`},
		{method: "POST", path: "/api/v1/comparisons", body: `{"before":{"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}]},"after":{` + glow + `},"most":2}`},
		{method: "POST", path: "/api/v1/comparisons", body: `{"before":{"quote":"2026-0001"},"after":{"quote":"2026-0001","today":true}}`},
	},
	"quotes": {
		{method: "POST", path: "/api/v1/quotes", body: askedQuote},
		issueWith("first"),
		issueWith("first"),
		{method: "GET", path: "/api/v1/quotes"},
		{method: "GET", path: "/api/v1/quotes/2026-0001/proof?key=quote/total&depth=1"},
		{method: "GET", path: "/api/v1/quotes/2026-0009"},
		{method: "POST", path: "/api/v1/quotes/2026-0001/withdrawal", header: map[string]string{"Idempotency-Key": "w", "If-Match": `"2026-0001.1.1.issued"`}},
		{method: "POST", path: "/api/v1/quotes/2026-0001/withdrawal", header: map[string]string{"Idempotency-Key": "w2", "If-Match": `"2026-0001.1.1.withdrawn"`}},
	},
	"access": {
		{method: "GET", path: "/healthz", token: "-"},
		{method: "GET", path: "/readyz", token: "-"},
		{method: "GET", path: "/api/v1/parts", token: "-"},
		{method: "GET", path: "/api/v1/parts", token: "quote"},
		{method: "GET", path: "/api/v1/nothing", token: "-"},
		{method: "PATCH", path: "/api/v1/parts/HS-010"},
		{method: "POST", path: "/api/v1/estimates", body: "mix: []", header: map[string]string{"Content-Type": "text/plain"}},
		{method: "POST", path: "/api/v1/tokens", body: `{"name":"till","scopes":["read","quote"]}`},
		{method: "GET", path: "/api/v1/audit"},
		{method: "GET", path: "/api/v1/problems/version_conflict", token: "-"},
	},
}

// partAndOffer are records that need one another.
const partAndOffer = `{"records":{"parts":[{"number":"CLIP-3","name":"wire clip","kind":"bought"}],` +
	`"offers":[{"for":"CLIP-3","supplier":"USTRELIN","unit":"piece","currency":"EUR","breaks":[{"from":"1","price":"0.30"}]}]}}`

// TestTranscripts holds each conversation against the one that was kept, and each
// answer against the document.
func TestTranscripts(t *testing.T) {
	t.Parallel()
	for name, asks := range transcripts {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := newWorld(t)
			var text bytes.Buffer
			for _, q := range asks {
				q = w.tagged(t, q)
				out := w.do(q)
				w.conforms(t, q, out)
				write(&text, q, out)
			}
			compare(t, filepath.Join("testdata", name+".txt"), w.masked(text.String()))
		})
	}
}

// tagged puts the present tag where a conversation says TAG.
func (w *world) tagged(t testing.TB, q ask) ask {
	if q.header["If-Match"] != "TAG" {
		return q
	}
	tag := w.want(t, 200, ask{method: "GET", path: q.path}).Header().Get("ETag")
	q.header = map[string]string{"If-Match": tag}
	return q
}

func compare(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want := must(os.ReadFile(file))(t)
	if string(want) == got {
		return
	}
	a, b := strings.Split(string(want), "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			t.Fatalf("%s:%d:\nkept: %s\nnow:  %s\nto keep what is answered now: go test ./api -run TestTranscripts -update", file, i+1, a[i], b[i])
		}
	}
	t.Fatalf("%s has %d lines, now %d", file, len(a), len(b))
}

// shownHeaders are those of an answer that a transcript keeps.
var shownHeaders = []string{"Content-Type", "ETag", "Cache-Control", "Allow", "Retry-After", "Www-Authenticate", "Idempotency-Replayed"}

// maxShown is how much of an answer a transcript keeps.
const maxShown = 2500

func write(text *bytes.Buffer, q ask, out *httptest.ResponseRecorder) {
	fmt.Fprintf(text, "> %s %s\n", q.method, q.path)
	for _, name := range []string{"If-Match", "If-None-Match", "Idempotency-Key"} {
		if v := q.header[name]; v != "" {
			fmt.Fprintf(text, "> %s: %s\n", name, v)
		}
	}
	if q.body != "" {
		fmt.Fprintf(text, "> %s\n", strings.ReplaceAll(q.body, "\n", "\n> "))
	}
	fmt.Fprintf(text, "< %d\n", out.Code)
	for _, name := range shownHeaders {
		if v := out.Header().Get(name); v != "" {
			fmt.Fprintf(text, "< %s: %s\n", name, v)
		}
	}
	var pretty bytes.Buffer
	if json.Indent(&pretty, out.Body.Bytes(), "", "  ") != nil {
		pretty = *out.Body
	}
	body := pretty.String()
	if len(body) > maxShown {
		cut := strings.LastIndexByte(body[:maxShown], '\n') + 1
		body = body[:cut] + "…\n"
	}
	fmt.Fprintf(text, "%s\n", body)
}

// chance is what differs from run to run, or with any figure anywhere.
var chance = []struct{ find, put string }{
	{`"request_id": "[A-Z2-7]{26}"`, `"request_id": "…"`},
	{`"secret": "[^"]+"`, `"secret": "…"`},
	{`"id": "[A-Za-z0-9]{16}"`, `"id": "…"`},
	{`"last4": "[^"]+"`, `"last4": "…"`},
	{`"head": "[0-9a-f]{64}"`, `"head": "…"`},
	{`"version": "[0-9a-f]{24}"`, `"version": "…"`},
	{`"content_hash": "[0-9a-f]{64}"`, `"content_hash": "…"`},
	{`"nodes": [0-9]+`, `"nodes": …`},
	{`"entries": [0-9]+`, `"entries": …`},
	{`ETag: "[0-9a-f]{24,32}"`, `ETag: "…"`},
}

func (w *world) masked(text string) string {
	for _, c := range chance {
		text = regexp.MustCompile(c.find).ReplaceAllString(text, c.put)
	}
	return text
}

// conforms holds an answer against what the document says about its operation.
func (w *world) conforms(t *testing.T, q ask, out *httptest.ResponseRecorder) {
	t.Helper()
	op := w.operationOf(q)
	if op == nil {
		if out.Code != 404 && out.Code != 405 {
			t.Errorf("%s %s: no operation, and %d", q.method, q.path, out.Code)
		}
		return
	}
	response := op.Responses[strconv.Itoa(out.Code)]
	if response == nil && out.Code >= 400 {
		response = op.Responses["default"]
	}
	if response == nil {
		t.Errorf("%s %s: the document knows no answer %d", q.method, q.path, out.Code)
		return
	}
	mediaType, _, _ := strings.Cut(out.Header().Get("Content-Type"), ";")
	content := response.Content[mediaType]
	if content == nil {
		if mediaType != "" {
			t.Errorf("%s %s: the document knows no answer %d in %q", q.method, q.path, out.Code, mediaType)
		}
		return
	}
	if strings.HasSuffix(mediaType, "json") {
		w.matches(t, q, content.Schema, out.Body.Bytes())
	}
}

func (w *world) operationOf(q ask) *huma.Operation {
	path, _, _ := strings.Cut(q.path, "?")
	found := chi.NewRouteContext()
	if !w.router.Match(found, q.method, path) {
		return nil
	}
	for _, op := range operations(w.API) {
		if op.Method == q.method && op.Path == found.RoutePattern() {
			return op
		}
	}
	return nil
}

// matches validates JSON, and makes sure that no amount is a number.
func (w *world) matches(t *testing.T, q ask, schema *huma.Schema, data []byte) {
	t.Helper()
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		t.Errorf("%s %s: %v", q.method, q.path, err)
		return
	}
	result := &huma.ValidateResult{}
	huma.Validate(w.schemas, schema, huma.NewPathBuffer(nil, 0), huma.ModeReadFromServer, v, result)
	for i, err := range result.Errors {
		if i < 5 {
			t.Errorf("%s %s: the answer is not as documented: %v", q.method, q.path, err)
		}
	}
	numbers(v, "", func(name string) {
		if !counts[name] {
			t.Errorf("%s %s: %s is a JSON number", q.method, q.path, name)
		}
	})
}

// counts are the only things that are JSON numbers: none is money, a rate or a
// quantity.
var counts = map[string]bool{"revision": true, "latest_revision": true, "status": true, "line": true, "column": true, "nodes": true,
	"entries": true, "seq": true, "created": true, "changed": true, "deleted": true, "unchanged": true, "number": true,
	"machines": true, "operation": true, "valid_days": true, "kerfbook": true, "lead_days": true,
	"seed": true, "draws": true, "share_draws": true, "draws_without_value": true, "counts": true, "steps_done": true, "steps_total": true, "more_tools": true}

func numbers(v any, name string, f func(name string)) {
	switch v := v.(type) {
	case float64:
		f(name)
	case []any:
		for _, one := range v {
			numbers(one, name, f)
		}
	case map[string]any:
		for key, one := range v {
			numbers(one, key, f)
		}
	}
}

// TestEveryAnswerIsAsDocumented asks all routes that read.
func TestEveryAnswerIsAsDocumented(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.want(t, 201, issueWith("k"))
	good := 0
	for _, op := range operations(w.API) {
		q := w.sample(op)
		q.header = map[string]string{"Accept": jsonType}
		out := w.do(q)
		w.conforms(t, q, out)
		if out.Code == 200 {
			good++
		}
	}
	if good < 40 {
		t.Errorf("only %d good answers", good)
	}
}
