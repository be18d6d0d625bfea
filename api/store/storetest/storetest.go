// Package storetest is the one suite of behaviour that every store passes.
package storetest

import (
	"context"
	"crypto/rand"
	"fmt"
	"sync"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/testdata"
)

// Backdoor is a store whose rows a test can change behind its back.
type Backdoor interface {
	service.Store
	// Behind runs statements as somebody who has the database itself.
	Behind(statements ...string) error
	// Unlock takes the guards of a table away that keep its rows as they are.
	Unlock(table string) error
}

// Exercise runs the suite. open gives an empty store for each test; it must be a
// Backdoor.
func Exercise(t *testing.T, open func(t *testing.T) service.Store) {
	for _, one := range []struct {
		name string
		run  func(*testing.T, *bench)
	}{
		{"a failed update leaves nothing", failedUpdate},
		{"a view sees one state", oneState},
		{"one of many changes of a version is made", optimisticVersions},
		{"a revision is added once", revisionOnce},
		{"a created record is seen by one of many", createdOnce},
		{"revisions never change", immutable},
		{"records come in pages", recordPages},
		{"import and export are identical", importExport},
		{"a book keeps its author's hand", hand},
		{"deleted records come back with the next revision", deletedRecords},
		{"quote numbers have no gaps", quoteNumbers},
		{"quotes come in pages and change state", quotePages},
		{"quotes are kept as what differs from a pattern", quotePatterns},
		{"decimals keep their digits", decimals},
		{"times keep their microseconds", times},
		{"the log verifies", logVerifies},
		{"a changed row is named", changedRows},
		{"changes are told and undone", history},
		{"a removal is undone", removalUndone},
		{"a key is answered once", answeredOnce},
		{"a key is answered once in parallel", answeredOnceInParallel},
		{"a failed request leaves its key free", failedRequest},
		{"a link is spent once", linkOnce},
		{"links expire", linksExpire},
		{"sessions expire", sessionsExpire},
		{"tokens let in what they are for", tokens},
		{"people are let in by their role", people},
		{"only hashes of secrets are kept", hashesOnly},
		{"a run is known to every server", runsAreShared},
		{"scenarios are kept, renamed, taken over and forgotten", scenarios},
	} {
		t.Run(one.name, func(t *testing.T) {
			t.Parallel()
			one.run(t, newBench(t, open(t)))
		})
	}
}

// bench is a store with a service on it and a clock that a test moves.
type bench struct {
	store   Backdoor
	service *service.Service
	clock   *clock
}

func newBench(t *testing.T, st service.Store) *bench {
	t.Helper()
	back, ok := st.(Backdoor)
	if !ok {
		t.Fatalf("%T has no back door for the tests", st)
	}
	c := &clock{now: time.Date(2026, 11, 25, 9, 30, 0, 123456000, time.UTC)}
	return &bench{back, service.New(st, c.Now, rand.Reader), c}
}

type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) advance(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

var maker = service.Actor{Name: "maker", Scopes: service.AllScopes}

// demo puts the demo book in.
func (b *bench) demo(t *testing.T) answer.Version { t.Helper(); return b.load(t, testdata.Demo) }

// small puts a book of a few records in.
func (b *bench) small(t *testing.T) answer.Version { t.Helper(); return b.load(t, []byte(smallBook)) }

const smallBook = `kerfbook: 1
name: Ostrel Workshop
country: "PT"
currency: EUR
rate_cards:
  - {id: "2026-09", from: 2026-09-01}
suppliers:
  - {id: DRUSAVEL, name: Drusavel Componentes}
  - {id: BARRAS, name: Barras Tesquim}
  - {id: PLACA, name: Placas Zurbeiro}
  - {id: USTRELIN, name: Ustrelin Optoelectronics}
  - {id: CAIXA, name: Caixa Alta}
`

func (b *bench) load(t *testing.T, text []byte) answer.Version {
	t.Helper()
	done, err := b.service.ImportBook(t.Context(), maker, text, "")
	if err != nil {
		t.Fatal(err)
	}
	return done.Version
}

func (b *bench) update(t *testing.T, f func(ctx context.Context, tx service.Tx) error) {
	t.Helper()
	if err := b.store.Update(t.Context(), func(tx service.Tx) error { return f(t.Context(), tx) }); err != nil {
		t.Fatal(err)
	}
}

func (b *bench) view(t *testing.T, f func(ctx context.Context, tx service.Tx) error) {
	t.Helper()
	if err := b.store.View(t.Context(), func(tx service.Tx) error { return f(t.Context(), tx) }); err != nil {
		t.Fatal(err)
	}
}

// parallel runs f n times at once and gives the errors in order.
func parallel(n int, f func(i int) error) []error {
	out := make([]error, n)
	var start, done sync.WaitGroup
	start.Add(1)
	for i := range n {
		done.Go(func() {
			start.Wait()
			out[i] = f(i)
		})
	}
	start.Done()
	done.Wait()
	return out
}

// wantCodes holds errors against how many of each code there must be; "" counts
// those without an error.
func wantCodes(t *testing.T, errs []error, want map[answer.Code]int) {
	t.Helper()
	got := map[answer.Code]int{}
	for _, err := range errs {
		code := answer.Code("")
		if err != nil {
			code = answer.CodeOf(err)
		}
		if want[code] == 0 {
			t.Errorf("unexpected: %v", err)
		}
		got[code]++
	}
	for code, n := range want {
		if got[code] != n {
			t.Errorf("%q %d times, want %d", code, got[code], n)
		}
	}
}

func wantCode(t *testing.T, err error, want answer.Code) {
	t.Helper()
	if err == nil || answer.CodeOf(err) != want {
		t.Errorf("error %v, want one with code %s", err, want)
	}
}

// verified wants a log without faults.
func (b *bench) verified(t *testing.T) service.LogReport {
	t.Helper()
	report, err := b.service.VerifyLog(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range report.Faults {
		t.Errorf("fault at entry %d, %s: %s", f.Seq, f.Object, f.Message)
	}
	return report
}

func supplier(id, name string) []byte { return fmt.Appendf(nil, "id: %s\nname: %s\n", id, name) }
