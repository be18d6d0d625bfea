package api

import (
	"bytes"
	"encoding/json"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer/study"
	"kerfbook/api/service/runs"
)

const (
	glow = `"mix":[{"product":"LAMP","trim":"glow","quantity":"250"}]`
	// large asks for as many draws as can be, which takes seconds.
	large = `{` + glow + `,"figures":["variant/glow/each/full"],"draws":6000000}`
)

func askSpread(body string) ask { return ask{method: "POST", path: "/api/v1/spreads", body: body} }

// answered asks for a run until it has ended.
func (w *world) ended(t testing.TB, at string) *httptest.ResponseRecorder {
	t.Helper()
	for range 3000 {
		out := w.do(ask{method: "GET", path: at})
		if out.Code != 202 {
			return out
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("%s does not end", at)
	return nil
}

// TestSpreadOutlastsItsRequest asks without patience: the answer is told its
// place, and is there, the same, when it is asked for.
func TestSpreadOutlastsItsRequest(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.patience = 0
	q := askSpread(`{` + glow + `,"draws":200000}`)
	begun := w.want(t, 202, q)
	w.conforms(t, q, begun)
	at := begun.Header().Get("Location")
	progress := into[runs.Progress](t, begun)
	if !strings.HasPrefix(at, "/api/v1/spreads/") || !strings.HasSuffix(at, progress.Run) || progress.State != runs.Working ||
		begun.Header().Get("Retry-After") != "1" || begun.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("%s, headers %v", begun.Body, begun.Header())
	}
	out := w.ended(t, at)
	if out.Code != 200 {
		t.Fatalf("%d: %s", out.Code, out.Body)
	}
	w.conforms(t, ask{method: "GET", path: at}, out)
	again := w.want(t, 200, q) // the same run, which has ended
	if !bytes.Equal(out.Body.Bytes(), again.Body.Bytes()) || out.Header().Get("ETag") == "" || out.Header().Get("ETag") != again.Header().Get("ETag") {
		t.Error("the run and the question asked again have different answers")
	}
	w.want(t, 304, ask{method: "GET", path: at, header: map[string]string{"If-None-Match": out.Header().Get("ETag")}})
	if s := into[study.Spread](t, out); s.Version == "" || s.Seed != study.DefaultSeed || s.Draws < 200_000 {
		t.Errorf("version %q, seed %d, %d draws", s.Version, s.Seed, s.Draws)
	}
	w.want(t, 204, ask{method: "DELETE", path: at})
	w.problem(t, 404, ask{method: "GET", path: at})
	w.problem(t, 404, ask{method: "DELETE", path: at})
}

// TestSpreadIsNewForAChangedBook: the book's version is part of the question.
func TestSpreadIsNewForAChangedBook(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	q := askSpread(`{` + glow + `,"draws":1}`)
	before := into[study.Spread](t, w.want(t, 200, q))
	w.want(t, 200, ask{method: "POST", path: "/api/v1/changes", body: `{"changes":[{"key":"work-centre/MILL/labour-rate","value":"27.50"}]}`,
		header: map[string]string{"If-Match": `"` + string(before.Version) + `"`}})
	after := into[study.Spread](t, w.want(t, 200, q))
	if after.Version == before.Version || after.Figures[1].Figure.Value == before.Figures[1].Figure.Value {
		t.Errorf("%s after the change as before it", after.Figures[1].Figure.Value)
	}
}

// TestCancelledSpreadLeavesNothing: a run that is cancelled computes no more when
// the answer is there, is forgotten, and stands in nobody's way. No other test of
// the package runs meanwhile, so its goroutines can be counted.
func TestCancelledSpreadLeavesNothing(t *testing.T) {
	w := newWorld(t)
	w.patience = 0
	w.want(t, 202, askSpread(`{`+glow+`}`))
	w.ended(t, w.want(t, 202, askSpread(`{`+glow+`,"seed":7}`)).Header().Get("Location"))
	before := runtime.NumGoroutine()
	for range 3 {
		var places []string
		for _, seed := range []string{"1", "2", "3", "4"} { // more than are drawn at once
			q := askSpread(strings.Replace(large, "{", `{"seed":`+seed+`,`, 1))
			places = append(places, w.want(t, 202, q).Header().Get("Location"))
		}
		for _, at := range places {
			w.want(t, 204, ask{method: "DELETE", path: at})
			w.problem(t, 404, ask{method: "GET", path: at})
		}
	}
	for i := 0; runtime.NumGoroutine() > before && i < 5000; i++ {
		time.Sleep(time.Millisecond) // one that has closed its channel has a few steps to its end
	}
	if n := runtime.NumGoroutine(); n > before {
		t.Errorf("%d goroutines, %d before", n, before)
	}
	out := w.ended(t, w.want(t, 202, askSpread(`{`+glow+`,"seed":8}`)).Header().Get("Location"))
	if out.Code != 200 {
		t.Errorf("the next run: %d", out.Code)
	}
}

// TestClosedServiceStopsItsRuns is what happens when the server is stopped.
func TestClosedServiceStopsItsRuns(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.patience = 0
	at := w.want(t, 202, askSpread(large)).Header().Get("Location")
	w.service.Close()
	w.problem(t, 503, ask{method: "GET", path: at})
	w.problem(t, 503, askSpread(large))
}

// TestTooManySpreads: what waits is bounded.
func TestTooManySpreads(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	t.Cleanup(w.service.Close)
	w.patience = 0
	busy := 0
	for seed := range 20 {
		q := askSpread(strings.Replace(large, "{", `{"seed":`+string(rune('0'+seed%10))+string(rune('0'+seed/10))+`,`, 1))
		q.body = strings.Replace(q.body, `"seed":0`, `"seed":1`, 1)
		if out := w.do(q); out.Code == 503 {
			busy++
			problemIn(t, out)
		}
	}
	if busy < 5 {
		t.Errorf("%d of 20 long runs were refused", busy)
	}
}

// TestStatelessAnswersAreThoseOfTheBook compares each question on the stored book
// with the same on a book sent along; only the version tells them apart.
func TestStatelessAnswersAreThoseOfTheBook(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	for path, c := range map[string]struct{ stateless, request string }{
		"/api/v1/spreads":     {"spread", `{` + glow + `,"day":"2026-11-25","prices":[{"channel":"direct","price":"249.90","chance":"0.7"}],"changes":[{"key":"exchange/selling/USD-EUR","value":"0.88"}]}`},
		"/api/v1/curves":      {"curve", `{"day":"2026-11-25","curves":[{"trim":"glow"},{"trim":"plain","choices":{"mount":"wall"}}],"from":"100","to":"180","marks":["120"],"breaks":5}`},
		"/api/v1/comparisons": {"comparison", `{"before":{"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}]},"after":{` + glow + `,"changes":[{"key":"mix/glow","value":"200"}]}}`},
	} {
		q := ask{method: "POST", path: path, body: c.request}
		kept := w.want(t, 200, q)
		w.conforms(t, q, kept)
		loose := statelessWith(t, c.stateless, "kerfbook: 1", "kerfbook: 1", c.request)
		sent := w.want(t, 200, loose)
		w.conforms(t, loose, sent)
		if a, b := withoutVersion(t, kept.Body.Bytes()), withoutVersion(t, sent.Body.Bytes()); a != b || len(a) < 2000 {
			t.Errorf("%s: %d bytes stored, %d stateless, or they differ", path, len(a), len(b))
		}
	}
}

// statelessWith sends the demo book, with a change, with a request about it.
func statelessWith(t testing.TB, question, old, new, request string) ask {
	t.Helper()
	q := demoWith(t, old, new)
	book, _, _ := strings.Cut(q.body, "\nrequest:")
	q.path, q.body = "/api/v1/stateless/"+question, book+"\nrequest: "+request+"\n"
	return q
}

func withoutVersion(t *testing.T, data []byte) string {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	delete(v, "version")
	out := must(json.Marshal(v))(t)
	return string(out)
}

// TestQuoteAgainstToday: a quote and what it asks for today differ by what was
// changed in between, and the share of that input is all of it.
func TestQuoteAgainstToday(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.want(t, 201, issueWith("k"))
	q := ask{method: "POST", path: "/api/v1/comparisons", body: `{"before":{"quote":"2026-0001"},"after":{"quote":"2026-0001","today":true}}`}
	same := into[study.Difference](t, w.want(t, 200, q))
	if !same.Same || same.Before.Figure.Value != same.After.Figure.Value || same.Before.Figure.Value == "" {
		t.Errorf("nothing was changed: %+v", same.Method)
	}
	w.want(t, 200, ask{method: "POST", path: "/api/v1/changes", body: `{"changes":[{"key":"work-centre/MILL/labour-rate","value":"27.50"}]}`,
		header: map[string]string{"If-Match": `"` + string(same.Version) + `"`}})
	out := w.want(t, 200, q)
	w.conforms(t, q, out)
	d := into[study.Difference](t, out)
	if d.Same || !d.Alike || len(d.Shares) != 1 || d.Shares[0].After.Key != "work-centre/MILL/labour-rate" || d.Shares[0].Amount != d.Difference {
		t.Errorf("shares %+v of %s", d.Shares, d.Difference)
	}
	for body, want := range map[string]string{
		`{"before":{},"after":{` + glow + `}}`:                                                                "/before/mix",
		`{"before":{` + glow + `},"after":{"quote":"2026-0001",` + glow + `}}`:                                "/after/mix",
		`{"before":{` + glow + `},"after":{` + glow + `,"today":true}}`:                                       "/after/quote",
		`{"before":{` + glow + `,"figure":"x"},"after":{` + glow + `}}`:                                       "/before/figure",
		`{"before":{` + glow + `},"after":{` + glow + `,"figure":"mix/glow"}}`:                                "/after/figure",
		`{"before":{` + glow + `},"after":{"quote":"2026-0001","changes":[{"key":"mix/glow","value":"20"}]}}`: "/after/changes",
		`{"before":{` + glow + `,"changes":[{"key":"mix/glow","value":"0"}]},"after":{` + glow + `}}`:         "",
	} {
		p := w.problem(t, 422, ask{method: "POST", path: "/api/v1/comparisons", body: body})
		if want != "" && (len(p.Errors) != 1 || p.Errors[0].Pointer == nil || *p.Errors[0].Pointer != want) {
			t.Errorf("%s: %+v, want %s", body, p.Errors, want)
		}
	}
	w.problem(t, 404, ask{method: "POST", path: "/api/v1/comparisons", body: `{"before":{"quote":"2026-0009"},"after":{` + glow + `}}`})
}
