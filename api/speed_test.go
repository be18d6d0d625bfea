package api

import (
	"context"
	"io"
	"net"
	"net/http"
	"reflect"
	"testing"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// served runs a world behind the real server on loopback.
func served(tb testing.TB) (*world, string) {
	tb.Helper()
	w := newWorld(tb)
	// What a handler on this stack costs that does nothing but answer.
	form := answerForm{status: 200, schema: w.schemas.Wire(reflect.TypeFor[state]())}
	add(w.API, route{method: http.MethodGet, path: "/trivial", id: "trivial", tag: "system", summary: "nothing", returns: form}, w.health)
	add(w.API, route{method: http.MethodGet, path: "/trivial-with-token", id: "trivial-with-token", tag: "system", summary: "nothing",
		scope: service.Read, returns: form}, w.health)
	l := must(net.Listen("tcp", "127.0.0.1:0"))(tb)
	s := edge.Server(w.edge.Config, w.handler, w.edge.Log)
	go func() { _ = s.Serve(l) }()
	tb.Cleanup(func() { _ = s.Close() })
	return w, "http://" + l.Addr().String()
}

// speeds are the requests that are compared.
var speeds = []struct {
	name, path string
	condition  bool // with If-None-Match
}{
	{"trivial", "/trivial", false},
	{"trivial with token", "/trivial-with-token", false},
	{"price of a trim, whole answer", pricePath, false},
	{"price of a trim, not changed", pricePath, true},
	{"proof of a figure", "/api/v1/proofs?mix=plain%3D100&key=variant/plain/each/full&depth=1&day=2026-11-25", false},
}

const pricePath = "/api/v1/price-lists?trims=plain&quantities=100&day=2026-11-25"

// BenchmarkServed asks over loopback, sixteen clients at once.
func BenchmarkServed(b *testing.B) {
	w, origin := served(b)
	for _, c := range speeds {
		b.Run(c.name, func(b *testing.B) {
			r := w.request(b, origin+c.path, c.condition)
			client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
			b.SetParallelism(8)
			b.ResetTimer()
			b.RunParallel(func(pb *testing.PB) {
				for pb.Next() {
					fetch(b, client, r)
				}
			})
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "requests/s")
		})
	}
}

func (w *world) request(tb testing.TB, address string, condition bool) *http.Request {
	tb.Helper()
	r := must(http.NewRequestWithContext(context.Background(), http.MethodGet, address, nil))(tb)
	r.Header.Set("Authorization", "Bearer "+w.tokens["read"])
	if condition {
		answer := must(http.DefaultClient.Do(r))(tb)
		answer.Body.Close()
		r.Header.Set("If-None-Match", answer.Header.Get("ETag"))
	}
	return r
}

func fetch(tb testing.TB, client *http.Client, r *http.Request) {
	answer, err := client.Do(r)
	if err != nil {
		tb.Error(err)
		return
	}
	if _, err := io.Copy(io.Discard, answer.Body); err != nil || answer.StatusCode != 200 && answer.StatusCode != 304 {
		tb.Errorf("%d, %v", answer.StatusCode, err)
	}
	answer.Body.Close()
}

// BenchmarkHandler asks the handler itself, without a network.
func BenchmarkHandler(b *testing.B) {
	w, _ := served(b)
	for _, c := range speeds {
		b.Run(c.name, func(b *testing.B) {
			header := map[string]string{}
			if c.condition {
				header["If-None-Match"] = w.do(ask{method: "GET", path: c.path}).Header().Get("ETag")
			}
			for b.Loop() {
				if out := w.do(ask{method: "GET", path: c.path, token: "read", header: header}); out.Code >= 400 {
					b.Fatal(out.Code)
				}
			}
		})
	}
}
