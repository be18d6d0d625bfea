package store

import (
	"bufio"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	mathrand "math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/api/store/pgtest"
	"kerfbook/costing/papers/quote"
	"kerfbook/testdata"
	"kerfbook/testdata/depth"
)

// TestMain runs the tests, or, in a child of the crash tests, the writer that
// they kill.
func TestMain(m *testing.M) {
	if address := os.Getenv(crashAddress); address != "" {
		if err := writeUntilKilled(address); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

const (
	crashAddress = "KERFBOOK_TEST_CRASH"
	crashRound   = "KERFBOOK_TEST_CRASH_ROUND"
	crashWriters = 4
)

var crasher = service.Actor{Name: "writer", Scopes: service.AllScopes}

// writeUntilKilled writes keyed requests from several sides and says what was
// acknowledged, a line each.
func writeUntilKilled(address string) error {
	ctx := context.Background()
	if _, err := Lock(address); err != nil { // the writer before was killed with it
		return err
	}
	st, err := Open(ctx, address)
	if err != nil {
		return err
	}
	w := &writer{service: service.New(st, time.Now, rand.Reader), store: st, round: os.Getenv(crashRound)}
	fmt.Println("open")
	errs := make(chan error)
	for i := range crashWriters {
		go func() { errs <- w.write(ctx, i) }()
	}
	return <-errs
}

type writer struct {
	service *service.Service
	store   *Store
	round   string
	said    sync.Mutex
}

func (w *writer) write(ctx context.Context, side int) error {
	for n := 0; ; n++ {
		key := fmt.Sprintf("%s-%d-%d", w.round, side, n)
		act := w.number
		switch {
		case side == 0 && n%8 == 5:
			act = w.quote
		case side == 1 && n%4 == 3:
			act = w.put
		}
		result, err := act(ctx, key)
		if err != nil {
			return fmt.Errorf("%s: %w", key, err)
		}
		w.said.Lock()
		fmt.Printf("%s %s\n", key, result)
		w.said.Unlock()
	}
}

// put writes a record through the service, under a key.
func (w *writer) put(ctx context.Context, key string) (string, error) {
	_, body, _, err := w.service.Idempotent(ctx, crasher, key, sha256.Sum256([]byte(key)), func(tx service.Tx) (int, []byte, error) {
		id := "S-" + key
		d, err := change.ReadRecord("suppliers", id, fmt.Appendf(nil, "{id: %s, name: round %s}", id, w.round), "")
		if err != nil {
			return 0, nil, err
		}
		saved, err := w.service.SaveIn(ctx, tx, crasher, []change.Draft{d})
		if err != nil {
			return 0, nil, err
		}
		return 201, fmt.Appendf(nil, "%s@%d", saved.Records[0].ID, saved.Records[0].Revision), nil
	})
	return string(body), err
}

// quote issues a quote through the service, under a key.
func (w *writer) quote(ctx context.Context, key string) (string, error) {
	_, body, _, err := w.service.Idempotent(ctx, crasher, key, sha256.Sum256([]byte(key)), func(tx service.Tx) (int, []byte, error) {
		d, err := w.service.IssueQuote(ctx, tx, crasher, "", quote.Request{
			Lines:       []quote.RequestLine{{Trim: "glow", Quantity: "50"}},
			Destination: "PT", Customer: quote.Party{Name: key}, ValidDays: 30, Delivery: quote.Delivery{Term: "DAP", Place: "Braga"},
			ConfirmUnverified: true,
		})
		return 201, []byte(d.Number), err
	})
	return string(body), err
}

// number takes a quote number and keeps the quote and the answer with it, as one
// transaction of the store, so that many are under way when the kill comes.
func (w *writer) number(ctx context.Context, key string) (number string, err error) {
	err = w.store.Update(ctx, func(tx service.Tx) error {
		given, err := tx.Idempotency().Get(ctx, crasher.Name, key)
		if err == nil {
			number = string(given.Body)
			return nil
		}
		if answer.CodeOf(err) != answer.NotFound {
			return err
		}
		n, err := tx.Quotes().NextNumber(ctx, "crash")
		if err != nil {
			return err
		}
		number = fmt.Sprintf("Q-%06d", n)
		fingerprint := sha256.Sum256([]byte(key))
		return errors.Join(
			tx.Quotes().Insert(ctx, promise.StoredQuote{Number: number, Revision: 1, State: "issued", Customer: key, Currency: "EUR",
				Net: decimal.New(n, -2), Document: []byte(key), Hash: fingerprint[:], CreatedAt: time.Now(), CreatedBy: crasher.Name}),
			tx.Idempotency().Insert(ctx, service.StoredAnswer{Actor: crasher.Name, Key: key, Fingerprint: fingerprint[:],
				Status: 201, Body: []byte(number), At: time.Now()}))
	})
	return number, err
}

func TestKilledOnSQLite(t *testing.T) {
	t.Parallel()
	killed(t, filepath.Join(t.TempDir(), "book.db"), 100)
}

func TestKilledOnPostgres(t *testing.T) {
	t.Parallel()
	killed(t, pgtest.Start(t).Database(t), 20)
}

// killed kills a writer at random moments, again and again on the same database,
// and looks each time for what it had acknowledged.
func killed(t *testing.T, address string, rounds int) {
	rounds = depth.Of(rounds)
	h := &history{t: t, address: address, acknowledged: map[string]string{}}
	h.prepare()
	seed := uint64(time.Now().UnixNano())
	random := mathrand.New(mathrand.NewPCG(seed, 1))
	for round := range rounds {
		h.round(round, time.Duration(random.IntN(400))*time.Millisecond)
		h.check(round == rounds-1)
		if t.Failed() {
			t.Fatalf("in round %d (seed %d)", round, seed)
		}
	}
	t.Logf("%d kills: %d requests acknowledged and all there, %d more kept that nobody heard of; %d quotes without a gap; slowest start %s",
		rounds, len(h.acknowledged), h.unheard, h.quotes, h.slowest.Round(time.Millisecond))
}

// history is what the writers of all rounds have acknowledged.
type history struct {
	t            *testing.T
	address      string
	acknowledged map[string]string
	unheard      int
	quotes       int
	slowest      time.Duration
}

func (h *history) prepare() {
	st := must(Open(h.t.Context(), h.address))(h.t)
	defer st.Close()
	if _, err := service.New(st, time.Now, rand.Reader).ImportBook(h.t.Context(), crasher, testdata.Demo, ""); err != nil {
		h.t.Fatal(err)
	}
}

// round runs a writer for a while after it has opened the database and kills it.
// Every third time it is killed while it starts.
func (h *history) round(round int, life time.Duration) {
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), crashAddress+"="+h.address, crashRound+"="+strconv.Itoa(round))
	var trouble strings.Builder
	child.Stderr = &trouble
	out := must(child.StdoutPipe())(h.t)
	if err := child.Start(); err != nil {
		h.t.Fatal(err)
	}
	kill := func() { _ = child.Process.Kill() }
	if round%3 == 2 {
		time.AfterFunc(life/2, kill)
	}
	for lines := bufio.NewScanner(out); lines.Scan(); {
		key, result, _ := strings.Cut(lines.Text(), " ")
		if key == "open" {
			time.AfterFunc(life, kill)
			continue
		}
		h.acknowledged[key] = result
	}
	_ = child.Wait() // killed
	if trouble.Len() > 0 {
		h.t.Errorf("the writer failed before it was killed: %s", &trouble)
	}
}

// check opens the database again and looks at everything in it.
func (h *history) check(last bool) {
	ctx := h.t.Context()
	start := time.Now()
	st, err := Open(ctx, h.address)
	if err != nil {
		h.t.Fatalf("opening after a kill: %v", err)
	}
	defer st.Close()
	h.slowest = max(h.slowest, time.Since(start))
	if err := st.View(ctx, func(tx service.Tx) error { return h.compare(ctx, tx) }); err != nil {
		h.t.Error(err)
	}
	if !last {
		return
	}
	report, err := service.New(st, time.Now, rand.Reader).VerifyLog(ctx)
	if err != nil {
		h.t.Error(err)
	}
	for _, f := range report.Faults {
		if !strings.HasPrefix(f.Object, "quotes/Q-") && f.Object != "quote numbers of crash" { // those are not logged
			h.t.Errorf("the log does not verify: %+v", f)
		}
	}
}

// compare looks for every acknowledged request, and for quote numbers left out.
func (h *history) compare(ctx context.Context, tx service.Tx) error {
	issued := map[string]string{} // number by key
	h.quotes = 0
	last := map[string]int{} // number by series
	err := tx.Quotes().EachRevision(ctx, func(q promise.StoredQuote) error {
		h.quotes++
		series, digits, _ := strings.Cut(q.Number, "-")
		last[series]++
		if n, err := strconv.Atoi(digits); err != nil || n != last[series] || q.Revision != 1 {
			h.t.Errorf("quote %s revision %d stands where number %d of its series should", q.Number, q.Revision, last[series])
		}
		if issued[q.Customer] != "" {
			h.t.Errorf("request %s has quotes %s and %s", q.Customer, issued[q.Customer], q.Number)
		}
		issued[q.Customer] = q.Number
		return nil
	})
	if err != nil {
		return err
	}
	records := map[string]string{}
	err = tx.Records().EachRevision(ctx, func(r service.StoredRecord) error {
		if key, ok := strings.CutPrefix(r.ID, "S-"); ok {
			records[key] = fmt.Sprintf("%s@%d", r.ID, r.Revision)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for key, result := range h.acknowledged {
		if issued[key] != result && records[key] != result {
			h.t.Errorf("request %s was acknowledged with %s; there are quote %q and record %q", key, result, issued[key], records[key])
		}
	}
	h.unheard = len(issued) + len(records) - len(h.acknowledged)
	return nil
}

// TestKilledWhileTheSchemaIsMade kills the first start on a new file; the next
// one must finish its work.
func TestKilledWhileTheSchemaIsMade(t *testing.T) {
	t.Parallel()
	rounds := 5
	if os.Getenv("CI") != "" {
		rounds = 30
	}
	unfinished := 0
	for round := range rounds {
		path := filepath.Join(t.TempDir(), "book.db")
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), crashAddress+"="+path, crashRound+"=0")
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		for _, err := os.Stat(path); err != nil; _, err = os.Stat(path) {
			time.Sleep(200 * time.Microsecond)
		}
		time.Sleep(time.Duration(round) * 100 * time.Millisecond / time.Duration(rounds))
		_ = child.Process.Kill()
		_ = child.Wait()
		if !migrated(path) {
			unfinished++
		}
		s, err := Open(t.Context(), path)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		fillAll(t, s)
		if err := errors.Join(s.Ready(t.Context()), s.Close()); err != nil {
			t.Errorf("round %d: %v", round, err)
		}
	}
	t.Logf("%d of %d starts were killed before the schema was there", unfinished, rounds)
}

// migrated reports whether the last table of the schema is there.
func migrated(path string) bool {
	db, err := sql.Open("sqlite", dataSource(path, "mode=rw"))
	if err != nil {
		return false
	}
	defer db.Close()
	var n int
	return db.QueryRow("SELECT count(*) FROM idempotency_keys").Scan(&n) == nil
}
