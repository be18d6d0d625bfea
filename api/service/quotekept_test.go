package service_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"syscall"
	"testing"
	"time"

	crypto "crypto/rand"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/api/store"
	"kerfbook/costing/papers/quote"
	"kerfbook/testdata"
	"kerfbook/testdata/depth"
)

// ofVersion is the demo book after so many changes of a wage, a margin or an hour rate.
func ofVersion(version int) []byte {
	text := testdata.Demo
	for v := range version {
		field := []string{`(name: turning centre.* labour_rate_per_h: )[0-9.]+`, `(channel: direct, margin: )[0-9.]+`,
			`(name: band saw.* machine_rate_per_h: )[0-9.]+`, `(name: assembly bench.* labour_rate_per_h: )[0-9.]+`}[v%4]
		value := []int{2650, 36, 970, 1990}[v%4] + v
		text = regexp.MustCompile(field).ReplaceAll(text, fmt.Appendf(nil, "${1}%d.%02d", value/100, value%100))
	}
	return text
}

// keep issues quotes over 20 versions of the demo book, of any trims to any of some
// destinations, and gives how many bytes are kept of them all.
func keep(tb testing.TB, n, destinations int) (*service.Service, int) {
	tb.Helper()
	now := atTen()
	st := must(store.Open(tb.Context(), filepath.Join(tb.TempDir(), "book.db")))(tb)
	tb.Cleanup(func() { _ = st.Close() })
	s := service.New(st, func() time.Time { return now }, crypto.Reader)
	places := []string{"GB", "PT", "DE", "FR", "IE", "CH", "US", "NO", "CA-ON", "AU", "NZ", "JP"}[:destinations]
	draw := rand.New(rand.NewPCG(1, 2))
	var version answer.Version
	for i := range n {
		if i*20%n < 20 {
			version = must(s.ImportBook(tb.Context(), maker, ofVersion(i*20/n), version))(tb).Version
			now = now.Add(36 * time.Hour)
		}
		req := quote.Request{Destination: places[draw.IntN(len(places))], ValidDays: 30, ConfirmUnverified: true,
			Customer: quote.Party{Name: fmt.Sprintf("Example %d", i), Address: []string{fmt.Sprintf("Example Road %d", draw.IntN(99))}},
			Delivery: quote.Delivery{Term: "DAP", Place: "Example Town"}}
		for set := 1 + draw.IntN(7); set > 0; set &= set - 1 {
			trim := map[int]string{1: "plain", 2: "glow", 4: "tune"}[set&-set]
			req.Lines = append(req.Lines, quote.RequestLine{Trim: trim, Quantity: fmt.Sprint(5 + draw.IntN(200))})
		}
		must(true, s.Update(tb.Context(), func(tx service.Tx) error {
			_, err := s.IssueQuote(tb.Context(), tx, maker, "", req)
			return err
		}))(tb)
	}
	kept := 0
	must(true, st.View(tb.Context(), func(tx service.Tx) error {
		err := tx.Quotes().EachPattern(tb.Context(), func(b promise.StoredPattern) error { kept += len(b.Document); return nil })
		if err != nil {
			return err
		}
		return tx.Quotes().EachRevision(tb.Context(), func(q promise.StoredQuote) error { kept += len(q.Document); return nil })
	}))(tb)
	return s, kept
}

// limitKept is how many bytes of a quote may be kept on average.
const limitKept = 30_000

func TestQuotesAreKeptSmall(t *testing.T) {
	t.Parallel()
	n := depth.Of(600)
	s, kept := keep(t, n, max(1, n*7/600))
	t.Logf("%d quotes take %d bytes each", n, kept/n)
	if kept/n > limitKept {
		t.Errorf("%d quotes take %d bytes each, which is more than %d", n, kept/n, limitKept)
	}
	if report, err := s.VerifyLog(t.Context()); err != nil || len(report.Faults) > 0 {
		t.Errorf("the log: %+v, %v", report, err)
	}
	for i := 1; i <= n; i += 1 + n/20 {
		q, err := s.Quote(t.Context(), fmt.Sprintf("2026-%04d", i), 0)
		if err != nil || q.Customer.Name != fmt.Sprintf("Example %d", i-1) {
			t.Fatalf("%+v, %v", q.Document, err)
		}
		if hash, err := q.Document.Hash(); err != nil || hash != q.Hash {
			t.Errorf("%s has the hash %s, written %s, %v", q.Number, hash, q.Hash, err)
		}
	}
}

func BenchmarkQuotesKept(b *testing.B) {
	const n = 1000
	s, kept := keep(b, n, 12)
	var before, after syscall.Rusage
	b.ResetTimer()
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &before)
	for b.Loop() {
		if report, err := s.VerifyLog(context.Background()); err != nil || len(report.Faults) > 0 {
			b.Fatal(report, err)
		}
	}
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &after)
	cpu := time.Duration(after.Utime.Nano() + after.Stime.Nano() - before.Utime.Nano() - before.Stime.Nano())
	b.ReportMetric(float64(kept)/n, "bytes/quote")
	b.ReportMetric(float64(cpu.Microseconds())/float64(n*b.N), "CPU-µs/quote")
}
