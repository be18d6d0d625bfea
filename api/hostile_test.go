package api

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
	"time"

	"kerfbook/api/edge"
	"kerfbook/testdata"
)

// atOnce is how soon a bad request is refused. The race detector and a busy
// machine slow everything down; the measure without them is in the benchmark.
const atOnce = 100 * time.Millisecond

// bad is one bad request with the status it gets and, if any, where its fault is.
type bad struct {
	what    string
	q       ask
	status  int
	pointer string
}

func estimateOf(quantity string) ask {
	return ask{method: "POST", path: "/api/v1/estimates", body: `{"mix":[{"product":"LAMP","trim":"plain","quantity":` + quantity + `}]}`}
}

// put is a change of a record with its present version.
func (w *world) put(t testing.TB, path, body string) ask {
	t.Helper()
	tag := w.want(t, 200, ask{method: "GET", path: path}).Header().Get("ETag")
	return ask{method: "PUT", path: path, body: body, header: map[string]string{"If-Match": tag, "Content-Type": yamlType}}
}

// demoWith sends the demo book, with a change, with a question about it.
func demoWith(t testing.TB, old, new string) ask {
	t.Helper()
	text := string(testdata.Demo)
	if !strings.Contains(text, old) {
		t.Fatalf("the demo book does not hold %q", old)
	}
	text = strings.Replace(text, old, new, 1)
	body := "book:\n  " + strings.ReplaceAll(text, "\n", "\n  ") + "\nrequest: {day: 2026-11-25, trims: [plain], quantities: [100]}\n"
	return ask{method: "POST", path: "/api/v1/stateless/price-list", body: body, header: map[string]string{"Content-Type": yamlType}}
}

func (w *world) badRequests(t testing.TB) []bad {
	long := strings.Repeat("9", 1_000_000)
	plain := map[string]string{"Content-Type": "text/plain"}
	return []bad{
		{"an unknown field", w.put(t, "/api/v1/suppliers/DRUSAVEL", "id: DRUSAVEL\nname: L\ncolour: red\n"), 422, "/colour"},
		{"a name given twice", w.put(t, "/api/v1/suppliers/DRUSAVEL", "id: DRUSAVEL\nname: L\nname: M\n"), 422, "/name"},
		{"another id", w.put(t, "/api/v1/suppliers/DRUSAVEL", "id: OTHER\nname: L\n"), 422, "/id"},
		{"a wrong unit", w.put(t, "/api/v1/materials/CU-ETP", "id: CU-ETP\nname: copper\ndensity_g_cm3: 8.93 kg/m3\n"), 422, "/density_g_cm3"},
		{"a part that is nowhere", w.put(t, "/api/v1/offers/"+w.anOffer(t), "for: NOWHERE\nsupplier: DRUSAVEL\ncurrency: EUR\nbreaks: [{from: 1, price: 2}]\n"), 422, ""},
		{"NO as a country", w.put(t, "/api/v1/shop", "name: S\ncountry: NO\ncurrency: EUR\n"), 422, "/country"},
		{"no machine", w.put(t, "/api/v1/work-centres/MILL", "id: MILL\nname: m\nmachines: 0\nmachine_rate_per_h: 1\nlabour_rate_per_h: 1\n"), 422, "/machines"},
		{"010", w.put(t, "/api/v1/work-centres/MILL", "id: MILL\nname: m\nmachines: 010\nmachine_rate_per_h: 1\nlabour_rate_per_h: 1\n"), 422, "/machines"},
		{"a quantity below 0", estimateOf(`"-1"`), 422, "/mix/0/quantity"},
		{"more pieces than are estimated", estimateOf(`"1000000000"`), 422, "/mix/0/quantity"},
		{"a quantity of 0", estimateOf(`"0"`), 422, "/mix/0/quantity"},
		{"1e999999999", estimateOf(`1e999999999`), 422, "/mix/0/quantity"},
		{"1e999999999 as text", estimateOf(`"1e999999999"`), 422, "/mix/0/quantity"},
		{"a million digits", estimateOf(long), 422, ""},
		{"a million digits as text", estimateOf(`"` + long + `"`), 422, ""},
		{"NaN", estimateOf(`"NaN"`), 422, "/mix/0/quantity"},
		{"1_000", estimateOf(`"1_000"`), 422, "/mix/0/quantity"},
		{"another minus", estimateOf(`"−5"`), 422, "/mix/0/quantity"},
		{"full-width digits", estimateOf(`"１２"`), 422, "/mix/0/quantity"},
		{"nothing", estimateOf(`null`), 422, "/mix/0/quantity"},
		{"a list", estimateOf(`[]`), 422, "/mix/0/quantity"},
		{"a million digits in the query", ask{method: "GET", path: "/api/v1/price-lists?quantities=" + long[:20_000]}, 422, ""},
		{"a yield of 0", demoWith(t, "yield: 0.9", "yield: 0 # "), 422, ""},
		{"a part that contains itself", demoWith(t, "parts:\n", "parts:\n  - number: LOOP\n    name: loop\n    kind: assembly\n    children: [{part: LOOP, quantity: 1}]\n"), 422, ""},
		{"no JSON", ask{method: "POST", path: "/api/v1/estimates", body: `{"mix":`}, 400, ""},
		{"more after the end", ask{method: "POST", path: "/api/v1/estimates", body: `{"mix":[]} {}`}, 400, ""},
		{"YAML called JSON", ask{method: "POST", path: "/api/v1/estimates", body: `mix: []`}, 400, ""},
		{"no UTF-8", ask{method: "POST", path: "/api/v1/estimates", body: "{\"mix\":\"\xff\"}"}, 422, ""},
		{"too deep", ask{method: "POST", path: "/api/v1/estimates", body: `{"mix":` + strings.Repeat("[", 40) + strings.Repeat("]", 40) + `}`}, 422, ""},
		{"far too deep", ask{method: "POST", path: "/api/v1/estimates", body: strings.Repeat(`{"mix":`, 50_000) + "1" + strings.Repeat("}", 50_000)}, 400, ""},
		{"another media type", ask{method: "POST", path: "/api/v1/estimates", body: `{}`, header: plain}, 415, ""},
		{"no media type", ask{method: "POST", path: "/api/v1/estimates", body: `{}`, header: map[string]string{"Content-Type": ""}}, 415, ""},
		{"more than 1 MiB", ask{method: "POST", path: "/api/v1/estimates", body: strings.Repeat(" ", 1<<20+1)}, 413, ""},
		{"20 MB", ask{method: "PUT", path: "/api/v1/book", body: strings.Repeat("#", 20<<20), header: map[string]string{
			"Content-Type": yamlType, "If-Match": `"x"`, "Idempotency-Key": "k"}}, 413, ""},
		{"no draws", askSpread(`{` + glow + `,"draws":0}`), 422, "/draws"},
		{"10^9 draws", askSpread(`{` + glow + `,"draws":1000000000}`), 422, "/draws"},
		{"10^19 draws", askSpread(`{` + glow + `,"draws":10000000000000000000}`), 422, "/draws"},
		{"half a draw", askSpread(`{` + glow + `,"draws":0.5}`), 422, "/draws"},
		{"10^9 draws of a book sent along", statelessWith(t, "spread", "low: 5.2", "low: 5.2", `{`+glow+`,"draws":1000000000}`), 422, "/request/draws"},
		{"no draws of a book sent along", statelessWith(t, "spread", "low: 5.2", "low: 5.2", `{`+glow+`,"draws":0}`), 422, "/request/draws"},
		{"low above high", statelessWith(t, "spread", "{low: 5.2, likely: 6.0, high: 7.5}", "{low: 7.2, likely: 6.0, high: 7.5}", `{`+glow+`}`), 422, "/book/parts/8/routing/0/piece_min/low"},
		{"a range on a count", statelessWith(t, "spread", "pieces_per_load: 2, attended_share: 0.35", "pieces_per_load: {low: 1, likely: 2, high: 3}, attended_share: 0.35", `{`+glow+`}`), 422, "/book/parts/8/routing/0/pieces_per_load"},
		{"a range as a quantity", askSpread(`{"mix":[{"product":"LAMP","trim":"glow","quantity":{"low":1,"likely":2,"high":3}}]}`), 422, "/mix/0/quantity"},
		{"correlations that contradict one another", askSpread(`{` + glow + `,"correlations":[{"a":"cutting/copper.end_mill.carbide/speed","b":"cutting/copper.slitting_saw.carbide/speed","rank":"0.9"},` +
			`{"a":"cutting/copper.slitting_saw.carbide/speed","b":"part/HS-010/op/40/piece-time","rank":"0.9"},{"a":"cutting/copper.end_mill.carbide/speed","b":"part/HS-010/op/40/piece-time","rank":"-0.9"}]}`), 422, "/correlations"},
		{"a correlation of a count", askSpread(`{` + glow + `,"correlations":[{"a":"mix/glow","b":"cutting/copper.slitting_saw.carbide/speed","rank":"0.9"}]}`), 422, "/correlations/0/a"},
		{"a correlation of 1e999999999", askSpread(`{` + glow + `,"correlations":[{"a":"mix/glow","b":"mix/glow","rank":1e999999999}]}`), 422, "/correlations/0/rank"},
		{"a correlation of a million digits", askSpread(`{` + glow + `,"correlations":[{"a":"mix/glow","b":"mix/glow","rank":"` + long + `"}]}`), 422, ""},
		{"a curve to 10^9", ask{method: "POST", path: "/api/v1/curves", body: `{"curves":[{"trim":"glow"}],"from":"1","to":"1000000000"}`}, 422, "/to"},
		{"a curve from nothing", ask{method: "POST", path: "/api/v1/curves", body: `{"curves":[{"trim":"glow"}],"from":"0","to":"10"}`}, 422, "/from"},
		{"a curve of halves", ask{method: "POST", path: "/api/v1/curves", body: `{"curves":[{"trim":"glow"}],"from":"1.5","to":"10"}`}, 422, "/from"},
		{"a side with nothing", ask{method: "POST", path: "/api/v1/comparisons", body: `{"before":{},"after":{}}`}, 422, "/before/mix"},
		{"an anchor", w.put(t, "/api/v1/suppliers/DRUSAVEL", "id: &a DRUSAVEL\nname: *a\n"), 422, ""},
	}
}

func (w *world) anOffer(t testing.TB) string {
	t.Helper()
	return into[recordPage](t, w.want(t, 200, ask{method: "GET", path: "/api/v1/offers?page_size=1"})).Items[0].ID
}

// TestBadRequestsAreRefused holds each against its status, its place, the time it
// takes and what it leaves behind.
func TestBadRequestsAreRefused(t *testing.T) {
	w := newWorld(t) // not in parallel: it is timed
	cases := w.badRequests(t)
	before := w.rows(t)
	details := map[string]string{}
	for _, c := range cases {
		took := time.Hour
		var p edge.Problem
		for range 3 { // the best of three, since others use the machine
			var out *httptest.ResponseRecorder
			took = min(took, processor(func() { out = w.do(c.q) }))
			if out.Code != c.status {
				t.Fatalf("%s: %d, want %d: %.400s", c.what, out.Code, c.status, out.Body)
			}
			if p = problemIn(t, out); out.Body.Len() > 40_000 {
				t.Errorf("%s: an answer of %d bytes", c.what, out.Body.Len())
			}
		}
		if took > atOnce*raceFactor {
			t.Errorf("%s: refused after %s", c.what, took)
		}
		if c.status == 422 && len(p.Errors) == 0 {
			t.Errorf("%s: no place: %+v", c.what, p)
		}
		if c.pointer != "" && !points(p, c.pointer) {
			t.Errorf("%s: no fault at %s: %+v", c.what, c.pointer, p.Errors)
		}
		details[c.what] = fmt.Sprint(p.Code, p.Detail, p.Errors)
	}
	if w.rows(t) != before {
		t.Error("a refused request changed something")
	}
	if details["no JSON"] == details["no UTF-8"] || details["too deep"] == details["an unknown field"] {
		t.Error("different faults are told alike")
	}
}

func points(p edge.Problem, pointer string) bool {
	for _, f := range p.Errors {
		if f.Pointer != nil && *f.Pointer == pointer {
			return true
		}
	}
	return false
}

// TestExpiredOffersAreTold prices on a day on which no offer holds any more.
func TestExpiredOffersAreTold(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	q := estimateOf(`"100"`)
	q.body = strings.Replace(q.body, "{", `{"day":"2036-01-01",`, 1)
	body := w.want(t, 200, q).Body.String()
	if !strings.Contains(body, `"out_of_date_days":1096`) || !strings.Contains(body, "ran out on 31 December 2032, 1096 days ago") {
		t.Errorf("%.2000s", body)
	}
}

// TestAnArrayFullOfDecimals sends as many of the longest decimals as fit.
func TestAnArrayFullOfDecimals(t *testing.T) {
	w := newWorld(t) // not in parallel: it is timed
	item := `"` + strings.Repeat("9", 34) + `",`
	list := strings.TrimSuffix(strings.Repeat(item, (1<<20-200)/len(item)), ",")
	for path, body := range map[string]string{
		"/api/v1/price-lists": `{"quantities":[` + list + `]}`,
		"/api/v1/estimates":   `{"mix":[` + list + `]}`,
		"/api/v1/what-ifs":    `{"mix":[],"changes":[` + list + `]}`,
	} {
		var memory [2]runtime.MemStats
		runtime.ReadMemStats(&memory[0])
		var out *httptest.ResponseRecorder
		took := processor(func() { out = w.do(ask{method: "POST", path: path, body: body}) })
		runtime.ReadMemStats(&memory[1])
		if out.Code != 422 || took > time.Second*raceFactor {
			t.Errorf("%s: %d after %s", path, out.Code, took)
		}
		if grown := memory[1].Sys - memory[0].Sys; grown > 64<<20 {
			t.Errorf("%s: %d MiB more memory", path, grown>>20)
		}
	}
}

// TestAnyRequestIsAnswered sends requests put together at random from what the
// interface knows and what it does not: every answer is a good one or a problem.
func TestAnyRequestIsAnswered(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const seed = 20261125
	random := rand.New(rand.NewPCG(seed, 1))
	ops := operations(w.API)
	for range 1500 {
		q := w.sample(ops[random.IntN(len(ops))])
		q.body = mangled(random, q.body)
		if random.IntN(3) == 0 {
			q.path = strings.ReplaceAll(mangled(random, q.path), " ", "%20")
		}
		if random.IntN(3) == 0 {
			q.method = []string{"GET", "POST", "PUT", "DELETE", "PATCH", "HEAD", "OPTIONS"}[random.IntN(7)]
		}
		q.header = map[string]string{"If-Match": mangled(random, `"1-2bd0967aa905"`), "Idempotency-Key": mangled(random, "key")}
		w.answered(t, q)
	}
}

// answered makes a request whose address may be none.
func (w *world) answered(t testing.TB, q ask) {
	t.Helper()
	defer func() {
		if problem := recover(); problem != nil && !strings.Contains(fmt.Sprint(problem), "invalid NewRequest") {
			t.Errorf("%+v: %v", q, problem)
		}
	}()
	if !strings.HasPrefix(q.path, "/") {
		return
	}
	out := w.do(q)
	if out.Code >= 500 {
		t.Errorf("%.300v: %d", q, out.Code)
	}
	if out.Code >= 400 && q.method != "HEAD" {
		problemIn(t, out)
	}
}

var pieces = []string{"{", "}", "[", "]", "\"", ":", ",", "null", "1e400", "mix", "-", "\\", "\x00", "é", "%", "/", "..", "?", "&", "=", "*", "'", "<script>", "\r\n"}

func mangled(random *rand.Rand, text string) string {
	b := []byte(text)
	for range random.IntN(5) {
		at := random.IntN(len(b) + 1)
		piece := pieces[random.IntN(len(pieces))]
		end := min(len(b), at+random.IntN(3))
		b = append(b[:at:at], append([]byte(piece), b[end:]...)...)
	}
	return string(b)
}

// FuzzBody sends any body to one of the questions or to a record.
func FuzzBody(f *testing.F) {
	w := newWorld(f)
	paths := []ask{
		{method: "POST", path: "/api/v1/estimates"}, {method: "POST", path: "/api/v1/what-ifs"}, {method: "POST", path: "/api/v1/quote-previews"},
		{method: "POST", path: "/api/v1/stateless/proof"}, {method: "PUT", path: "/api/v1/parts/HS-010", header: map[string]string{"If-Match": `"x"`}},
	}
	for which := range paths {
		for _, c := range w.badRequests(f) {
			if len(c.q.body) < 10_000 {
				f.Add(c.q.body, uint8(which))
			}
		}
		f.Add(askedQuote, uint8(which))
	}
	f.Fuzz(func(t *testing.T, body string, which uint8) {
		q := paths[int(which)%len(paths)]
		q.body = body
		if took := processor(func() { w.answered(t, q) }); took > time.Second*raceFactor {
			t.Errorf("%s: %s", q.path, took)
		}
	})
}

// TestProblemsResolve follows the type of every kind of problem.
func TestProblemsResolve(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	for _, k := range edge.Kinds() {
		help := w.want(t, 200, ask{method: "GET", path: edge.ProblemType + string(k), token: "-"})
		if !bytes.Contains(help.Body.Bytes(), []byte(k.Title())) {
			t.Errorf("%s: %s", k, help.Body)
		}
	}
	w.problem(t, 404, ask{method: "GET", path: edge.ProblemType + "nonsense", token: "-"})
}

func TestAddressesThatAreNone(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	for _, path := range []string{"/", "/api", "/api/v1", "/api/v1/", "/api/v2/parts", "/api/v1/parts/", "/docs", "/openapi.json", "/api/v1/openapi.json",
		"/api/v1/schemas/Part.json", "/debug/pprof/", "/metrics", "/api/v1/parts/..%2F..%2Fshop", "/api/v1/%70arts/NOPE"} {
		w.problem(t, 404, ask{method: "GET", path: path})
	}
	for _, method := range []string{"PATCH", "POST", "OPTIONS", "BREW"} {
		out := w.want(t, 405, ask{method: method, path: "/api/v1/parts/HS-010"})
		if p := problemIn(t, out); p.Code != edge.MethodNotAllowed || out.Header().Get("Allow") != "GET, HEAD, PUT, DELETE" {
			t.Errorf("%+v, Allow %s", p, out.Header().Get("Allow"))
		}
	}
	head := w.want(t, 200, ask{method: "HEAD", path: "/api/v1/shop"})
	if head.Header().Get("ETag") == "" {
		t.Errorf("%v", head.Header())
	}
}
