package web_test

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"kerfbook/costing/book/booktest"
)

// BenchmarkPages times pages at the server, and reports the median beside the
// mean.
func BenchmarkPages(b *testing.B) {
	demo, large := demoShop(b), shopWith(b, []byte(booktest.Shop(2000, 3)))
	timePages(b, demo, "/", "/?n.plain=250&n.glow=80&n.tune=60&as=one", "/landed", "/parts", "/parts/HS-010", "/rates", "/book/products/LAMP",
		"/proof/variant/plain/each/full?mix=plain%3D100&day=2026-11-25", "/change?key=work-centre/MILL/labour-rate&mix=plain%3D100&day=2026-11-25&value=41.50")
	timePages(b, large, "/change?mix=only%3D100&day=2026-11-25&find=bench+rate", "/change?mix=only%3D100&day=2026-11-25&find=P1200", "/parts?search=P1200")
}

func timePages(b *testing.B, s *shop, paths ...string) {
	cookies := s.signIn(b)
	for _, path := range paths {
		b.Run(path, func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				r := httptest.NewRequest(http.MethodGet, path, nil)
				r.Header.Set("Accept-Encoding", "gzip")
				for _, c := range cookies.cookies() {
					r.AddCookie(c)
				}
				w := httptest.NewRecorder()
				began := time.Now()
				s.Config.Handler.ServeHTTP(w, r)
				took = append(took, time.Since(began))
				if w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
				b.ReportMetric(float64(w.Body.Len()), "bytes")
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
		})
	}
}
