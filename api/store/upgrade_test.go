package store_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/rand"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/api/store"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/quote"
)

// earlier are databases as earlier programs left them, each with the demo book of
// its day and one quote.
var earlier = []struct {
	file, total string
	token       string // that program gave out
	unread      string // record that later programs refuse
}{
	{"first-with-quotes", "14819.58", "", ""},
	// One shade takes 1.5 pieces to set up. Since then such counts are whole.
	{"first-with-tokens", "14819.58", "kb_xno8tOP7bq5Dvu3VIgpThFNi1ROLF1cCOhx7inlKVzK1D1jfd", "SH-POM"},
	{"2026-11-25", "14321.38", "kb_7OBrib3T3SJO4N65PfuTqJ2rF4emwC1qzKCjEEFvL8010vZkw", ""},
	{file: "2026-11-29", total: "17870.47", token: "kb_bA4x413nMuYmQPBsNsYdQ7J2bRSHdpTRsslUi17HaZE0aEkHD"},
}

// unpacked gives a copy of an earlier database.
func unpacked(t *testing.T, name string) string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".db.gz"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(in)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "shop.db")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func opened(t *testing.T, path string) *service.Service {
	t.Helper()
	st, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	return service.New(st, func() time.Time { return time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC) }, rand.Reader)
}

// TestEarlierDatabases opens databases of earlier programs: the log, the quote and
// the token hold, and the book is priced.
func TestEarlierDatabases(t *testing.T) {
	t.Parallel()
	for _, old := range earlier {
		t.Run(old.file, func(t *testing.T) {
			t.Parallel()
			ctx, s := t.Context(), opened(t, unpacked(t, old.file))
			if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) > 0 || report.Entries == 0 {
				t.Errorf("the log: %+v, %v", report, err)
			}
			q, err := s.Quote(ctx, "2026-0001", 0)
			if err != nil || q.Totals.Total.Value != old.total {
				t.Fatalf("the quote comes to %v, not %s; %v", q.Document, old.total, err)
			}
			if old.token != "" {
				if token, _, err := s.TokenOf(ctx, old.token); err != nil || token.Name != "spreadsheet" {
					t.Errorf("the token: %+v, %v", token, err)
				}
			}
			wantPriced(t, s, old.unread)
		})
	}
}

// TestQuoteOfVariantsWithInputsOfTheirOwn: a quote of when each variant had inputs of
// its own for the numbers of its product keeps them, is no different from today, and
// the keys it knows lead to those of today.
func TestQuoteOfVariantsWithInputsOfTheirOwn(t *testing.T) {
	t.Parallel()
	ctx, s := t.Context(), opened(t, unpacked(t, "2026-11-29"))
	const was, now = "variant/glow/op/10/piece-time", "product/LAMP/op/10/piece-time"
	if step, err := s.ExplainQuote(ctx, "2026-0001", 0, was, 1); err != nil || step.Value != "11" {
		t.Errorf("in the quote: %+v, %v", step, err)
	}
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(250), "plain", "glow")
	if step, _, err := s.ExplainKey(ctx, mix, "2026-11-29", was, 1); err != nil || step.Key != now || step.Value != "11" {
		t.Errorf("today: %+v, %v", step, err)
	}
	side := study.DifferenceSide{Quote: "2026-0001", Figure: "variant/glow/each/full"}
	today := side
	today.Today = true
	d, _, err := s.Difference(ctx, study.DifferenceRequest{Before: side, After: today})
	if err != nil || !stays(d) {
		t.Errorf("from then to today: same %t, %+v, %v", d.Same, d.Lines, err)
	}
}

// TestQuotesOfOtherGraphs: quotes of when sums had at most 250 terms, each variant had
// inputs of its own and a landed price stood at place or duty paid have the hash they
// were given, prove what they say, and are no different from today.
func TestQuotesOfOtherGraphs(t *testing.T) {
	t.Parallel()
	ctx, s := t.Context(), opened(t, unpacked(t, "2026-11-29"))
	for number, was := range map[string]struct{ hash, total string }{
		"2026-0001": {"aa7d9cda487d14f94b3b49d08800f2bf1725019659970cc7a9ab96b1b38e3fdf", "17870.47"}, // glow and plain to DE, delivered at place
		"2026-0002": {"380bf32b80a12db24f568f4ef0cf54a92204c62820db16485d67f64328fc2213", "14848.84"}, // tune with a choice to US, duty paid
		"2026-0003": {"edab815a475e2c9bc90389a0dd2d58a1c605032fc5381950e7f4bad8d5d01282", "23559.62"}, // plain to GB, in a batch of its own
	} {
		q, err := s.Quote(ctx, number, 0)
		if err != nil || q.Hash != was.hash {
			t.Fatalf("%s has the hash %s, %v", number, q.Hash, err)
		}
		if hash, err := q.Document.Hash(); err != nil || hash != was.hash {
			t.Errorf("%s is written again with the hash %s, %v", number, hash, err)
		}
		if step, err := s.ExplainQuote(ctx, number, 0, "quote/total", -1); err != nil || step.Value != was.total || len(step.Steps) < 2 {
			t.Errorf("%s: the total is proved as %s in %d steps, %v", number, step.Value, len(step.Steps), err)
		}
		for _, figure := range []string{"quote/total", "variant/" + q.Lines[0].Trim + "/each/full"} {
			side := study.DifferenceSide{Quote: number, Figure: figure}
			today := side
			today.Today = true
			if d, _, err := s.Difference(ctx, study.DifferenceRequest{Before: side, After: today}); err != nil || !stays(d) {
				t.Errorf("%s, %s from then to today: %+v, %v", number, figure, d, err)
			}
		}
		for _, format := range promise.Formats() {
			if data, _, _, err := s.QuoteFile(ctx, service.Actor{Scopes: service.AllScopes}, number, 0, format); err != nil || len(data) < 1000 {
				t.Errorf("%s as %s: %d bytes, %v", number, format, len(data), err)
			}
		}
	}
}

// TestQuoteOfBeforeIsRevised: a revision that differs from a pattern follows one that
// was kept whole.
func TestQuoteOfBeforeIsRevised(t *testing.T) {
	t.Parallel()
	ctx, s := t.Context(), opened(t, unpacked(t, "2026-11-29"))
	first, err := s.Quote(ctx, "2026-0003", 0)
	if err != nil {
		t.Fatal(err)
	}
	err = s.Update(ctx, func(tx service.Tx) error {
		_, err := s.IssueQuote(ctx, tx, service.Actor{Name: "maker", Scopes: service.AllScopes}, "2026-0003", first.Inputs.Request)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for revision, hash := range map[int]string{1: first.Hash, 2: ""} {
		q, err := s.Quote(ctx, "2026-0003", revision)
		if err != nil || q.Revision != revision || q.Latest != 2 || hash != "" && q.Hash != hash || q.Totals.Total.Value != first.Totals.Total.Value {
			t.Errorf("revision %d: %+v, %v", revision, q.Totals, err)
		}
	}
	if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) > 0 {
		t.Errorf("the log: %+v, %v", report, err)
	}
}

// TestQuoteOfOtherKeys: what a quote says of its landed price is on the first sheet of
// its workbook and compared with today under the keys of then and now.
func TestQuoteOfOtherKeys(t *testing.T) {
	t.Parallel()
	ctx, s := t.Context(), opened(t, unpacked(t, "2026-11-29"))
	file, _, _, err := s.QuoteFile(ctx, service.Actor{Scopes: service.AllScopes}, "2026-0001", 0, "cost.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	entries, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	first, err := fs.ReadFile(entries, "xl/worksheets/sheet1.xml")
	for _, figure := range []string{"kept_book", "profit", "margin"} {
		if cell := "<f>_destination_DE__quote_at_place_" + figure + "</f>"; err != nil || !bytes.Contains(first, []byte(cell)) {
			t.Errorf("the first sheet lacks %s, %v", cell, err)
		}
	}
	for _, way := range []string{"at-place", "buyer-clears"} {
		before := study.DifferenceSide{Quote: "2026-0001", Figure: "destination/DE/_quote/" + way + "/margin"}
		after := study.DifferenceSide{Quote: "2026-0001", Figure: "destination/DE/_quote/buyer-clears/margin", Today: true}
		if d, _, err := s.Difference(ctx, study.DifferenceRequest{Before: before, After: after}); err != nil || !stays(d) {
			t.Errorf("%s: %+v, %v", before.Figure, d, err)
		}
	}
}

// stays reports whether a figure and each of its lines is there on both sides with one
// value, though the graph of today may be built otherwise.
func stays(d study.Difference) bool {
	return d.Same && len(d.Lines) > 0 && !slices.ContainsFunc(d.Lines, func(l study.CostLine) bool { return l.Change != "stays" || l.Amount != "0" })
}

// wantPriced wants figures of every trim, but of those made of a part that cannot be
// read: their cost is at least something, and the part is named.
func wantPriced(t *testing.T, s *service.Service, unread string) {
	t.Helper()
	list, _, err := s.PriceList(t.Context(), answer.PriceRequest{Day: "2026-11-26", Quantities: []decimal.Decimal{decimal.NewFromInt(100)}})
	if err != nil {
		t.Fatal(err)
	}
	if len(list.Estimates) != 3 {
		t.Fatalf("%d estimates, want one for each trim", len(list.Estimates))
	}
	for _, e := range list.Estimates {
		if len(e.Variants) != 1 {
			t.Fatalf("%s: %d variants, %+v", e.Mix[0].Trim, len(e.Variants), e.Findings)
		}
		full, lacks := e.Variants[0].Full, unread != "" && e.Mix[0].Trim == "plain"
		if (full.Value == "") != lacks || slices.Contains(full.Without, "part "+unread) != lacks || (full.AtLeast != "") != lacks {
			t.Errorf("the full cost of %s: %+v, want one without the part %q: %t", e.Mix[0].Trim, full, unread, lacks)
		}
		said := slices.ContainsFunc(e.Findings, func(f answer.Finding) bool { return strings.Contains(f.Message, unread+" cannot be read") })
		if said != (unread != "") {
			t.Errorf("%s: it is said that %q cannot be read: %t", e.Mix[0].Trim, unread, said)
		}
	}
}

// TestUnreadableRecord wants a record that this program refuses to be seen, named
// and kept, and everything else to go on.
func TestUnreadableRecord(t *testing.T) {
	t.Parallel()
	ctx, s := t.Context(), opened(t, unpacked(t, "first-with-tokens"))
	maker := service.Actor{Name: "maker", Scopes: service.AllScopes}
	seen, err := s.Record(ctx, "parts", "SH-POM", 0)
	if err != nil || len(seen.Unread) != 1 || !strings.Contains(seen.Unread[0].Message, "whole") || seen.Unread[0].Path != "routing[0].setup_pieces" {
		t.Fatalf("the record: %+v, %v", seen, err)
	}
	if b, _, err := s.Book(ctx); err != nil || len(b.Unread) != 1 {
		t.Errorf("the book says %v, %v", b.Unread, err)
	}
	text, _, err := s.ExportBook(ctx)
	if err != nil || !strings.Contains(string(text), "# parts SH-POM") {
		t.Errorf("the exported text is silent about what it leaves out: %v\n%.300s", err, text)
	}
	other, err := s.Record(ctx, "suppliers", firstOf(t, s, "suppliers"), 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.PutRecord(ctx, maker, "suppliers", other.ID, bytes.Replace(other.Text, []byte("name: "), []byte("name: New "), 1), other.Version); err != nil {
		t.Errorf("another record cannot be changed: %v", err)
	}
	if _, err := s.PutRecord(ctx, maker, "parts", "SH-POM", seen.Text, seen.Version); answer.CodeOf(err) != answer.Invalid {
		t.Errorf("the refused text was taken again: %v", err)
	}
	wantPriced(t, s, "SH-POM")
	if left, err := s.DeleteRecord(ctx, maker, "parts", "SH-POM", seen.Version); err != nil || len(left) == 0 || !strings.Contains(left[0].Message, "no part SH-POM") {
		t.Errorf("a part that a product is made of is deleted, and what refers to it is %v, %v", left, err)
	}
	if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) > 0 {
		t.Errorf("the log: %+v, %v", report, err)
	}
}

// TestUnreadableRecordMended wants an unreadable record to be replaced where it
// stands, and no quote to be issued as long as it is there.
func TestUnreadableRecordMended(t *testing.T) {
	t.Parallel()
	ctx, s := t.Context(), opened(t, unpacked(t, "first-with-tokens"))
	maker := service.Actor{Name: "maker", Scopes: service.AllScopes}
	old, err := s.Quote(ctx, "2026-0001", 0)
	if err != nil {
		t.Fatal(err)
	}
	req := quote.Request{Lines: old.Inputs.Request.Lines[:1], Destination: "GB",
		Customer: old.Inputs.Request.Customer, ValidDays: 30, Delivery: old.Inputs.Request.Delivery, ConfirmUnverified: true}
	err = s.Update(ctx, func(tx service.Tx) error {
		_, err := s.IssueQuote(ctx, tx, maker, "", req)
		return err
	})
	if answer.CodeOf(err) != answer.Invalid || !strings.Contains(err.Error(), "SH-POM cannot be read") {
		t.Errorf("a quote beside a record that cannot be read: %v", err)
	}
	seen, err := s.Record(ctx, "parts", "SH-POM", 0)
	if err != nil {
		t.Fatal(err)
	}
	mended := strings.Replace(string(seen.Text), "setup_pieces: 1.5", "setup_pieces: 2", 1)
	if _, err := s.PutRecord(ctx, maker, "parts", "SH-POM", []byte(mended), seen.Version); err != nil {
		t.Fatal(err)
	}
	wantPriced(t, s, "")
	again, err := s.Record(ctx, "parts", "SH-POM", 1)
	if err != nil || len(again.Unread) != 1 || len(again.Text) == 0 {
		t.Errorf("its first revision: %+v, %v", again, err)
	}
}

func firstOf(t *testing.T, s *service.Service, kind string) string {
	t.Helper()
	heads, _, err := s.Records(t.Context(), kind, "", 1)
	if err != nil || len(heads) == 0 {
		t.Fatal(heads, err)
	}
	return heads[0].ID
}
