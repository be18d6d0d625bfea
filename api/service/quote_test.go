package service_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/testdata"
)

var maker = service.Actor{Name: "maker", Scopes: service.AllScopes}

// office is a service on a database of its own with the demo book, and a clock
// that stands still until it is moved.
type office struct {
	*service.Service
	mu   sync.Mutex
	time time.Time
}

func newOffice(t *testing.T) *office {
	t.Helper()
	o := &office{time: atTen()}
	o.Service, _ = opened(t, o.now, testdata.Demo)
	return o
}

func (o *office) now() time.Time {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.time
}

func (o *office) pass(d time.Duration) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.time = o.time.Add(d)
}

func offer(destination string) quote.Request {
	return quote.Request{
		Lines:       []quote.RequestLine{{Trim: "glow", Quantity: "50", Batch: "250"}, {Trim: "plain", Quantity: "20"}},
		Destination: destination, Customer: quote.Party{Name: "Example & Co"}, ValidDays: 30,
		Delivery: quote.Delivery{Term: "DAP", Place: "Leeds"},
	}
}

func (o *office) issue(t *testing.T, req quote.Request) promise.Quote {
	t.Helper()
	d := must(o.issued(t.Context(), maker, "", req))(t)
	return d
}

// issued and withdraw do it in a transaction of their own.
func (o *office) issued(ctx context.Context, a service.Actor, number string, req quote.Request, seen ...promise.Seen) (d promise.Quote, err error) {
	err = o.Update(ctx, func(tx service.Tx) (err error) {
		d, err = o.IssueQuote(ctx, tx, a, number, req, seen...)
		return err
	})
	return d, err
}

func (o *office) withdraw(ctx context.Context, a service.Actor, number string, seen ...promise.Seen) error {
	return o.Update(ctx, func(tx service.Tx) error { return o.WithdrawQuote(ctx, tx, a, number, seen...) })
}

func wantCode(t *testing.T, err error, want answer.Code) *answer.Error {
	t.Helper()
	if answer.CodeOf(err) != want || err == nil {
		t.Fatalf("error %v, want %s", err, want)
	}
	var e *answer.Error
	errors.As(err, &e)
	return e
}

func TestQuoteLife(t *testing.T) {
	t.Parallel()
	o, ctx := newOffice(t), t.Context()
	preview, err := o.PreviewQuote(ctx, maker, "", offer("GB"))
	if err != nil || preview.State != quote.Draft || preview.Number != "" {
		t.Fatalf("preview %s %q, %v", preview.State, preview.Number, err)
	}
	first := o.issue(t, offer("GB"))
	if first.Number != "2026-0001" || first.Revision != 1 || first.State != quote.Issued || first.Totals != preview.Totals || len(first.Hash) != 64 {
		t.Errorf("issued %s revision %d %s", first.Number, first.Revision, first.State)
	}
	req := offer("GB")
	req.Lines[0].Quantity = "60"
	second, err := o.issued(ctx, maker, first.Number, req)
	if err != nil || second.Number != first.Number || second.Revision != 2 || second.Totals == first.Totals {
		t.Fatalf("revised %s revision %d, %v", second.Number, second.Revision, err)
	}
	old, err := o.Quote(ctx, first.Number, 1)
	if err != nil || old.State != quote.Revised || old.Latest != 2 || old.Hash != first.Hash || old.Totals != first.Totals {
		t.Errorf("first revision %s, latest %d, %v", old.State, old.Latest, err)
	}
	o.pass(31 * 24 * time.Hour)
	if d, err := o.Quote(ctx, first.Number, 0); err != nil || d.Revision != 2 || d.State != quote.Expired {
		t.Errorf("after its last day: revision %d %s, %v", d.Revision, d.State, err)
	}
	if err := o.withdraw(ctx, maker, first.Number); err != nil {
		t.Fatal(err)
	}
	wantCode(t, o.withdraw(ctx, maker, first.Number), answer.Conflict)
	_, err = o.issued(ctx, maker, first.Number, req)
	wantCode(t, err, answer.Conflict)
	if d, err := o.Quote(ctx, first.Number, 0); err != nil || d.State != quote.Withdrawn {
		t.Errorf("withdrawn: %s, %v", d.State, err)
	}
	wantHonestLog(t, o)
}

func wantHonestLog(t *testing.T, o *office) {
	t.Helper()
	report, err := o.VerifyLog(t.Context())
	if err != nil || len(report.Faults) > 0 {
		t.Errorf("change log: %v, %v", report.Faults, err)
	}
}

// The preview of a revision names the revision that it would be.
func TestPreviewOfARevision(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	first := o.issue(t, offer("PT"))
	for want := 2; want <= 3; want++ {
		d, err := o.PreviewQuote(t.Context(), maker, first.Number, offer("PT"))
		if err != nil || d.Number != first.Number || d.Revision != want || d.State != quote.Draft || d.View().Title != fmt.Sprintf("Quote %s, revision %d", first.Number, want) {
			t.Fatalf("preview of revision %d: %q, %v", want, d.View().Title, err)
		}
		made, err := o.issued(t.Context(), maker, first.Number, offer("PT"))
		if err != nil || made.Revision != d.Revision || made.View().Title != d.View().Title {
			t.Fatalf("issued as %q, %v", made.View().Title, err)
		}
	}
	_, err := o.PreviewQuote(t.Context(), maker, "2026-0099", offer("PT"))
	wantCode(t, err, answer.NotFound)
}

func TestQuotesNeedTheScopeAndTheConfirmation(t *testing.T) {
	t.Parallel()
	o, ctx := newOffice(t), t.Context()
	reader := service.Actor{Name: "reader", Scopes: service.Read | service.Write}
	_, err := o.issued(ctx, reader, "", offer("PT"))
	wantCode(t, err, answer.Forbidden)
	wantCode(t, o.withdraw(ctx, reader, "2026-0001"), answer.Forbidden)
	wantCode(t, o.withdraw(ctx, maker, "2026-0001"), answer.NotFound)
	_, err = o.issued(ctx, maker, "2026-0001", offer("PT"))
	wantCode(t, err, answer.NotFound)

	_, err = o.issued(ctx, maker, "", offer("US"))
	if e := wantCode(t, err, answer.Unverified); len(e.Fields) < 2 || !strings.Contains(e.Fields[0].Message, "tariff US") {
		t.Errorf("fields %v", e.Fields)
	}
	req := offer("US")
	req.ConfirmUnverified = true
	if d := o.issue(t, req); d.Number != "2026-0001" || !d.Confirmed || len(d.Unverified) < 2 {
		t.Errorf("quote %s rests on %v", d.Number, d.Unverified)
	}
	bad := offer("GB")
	bad.Lines[1].Trim, bad.ValidDays = "none", 0
	_, err = o.issued(ctx, maker, "", bad)
	if e := wantCode(t, err, answer.Invalid); len(e.Fields) != 2 || e.Fields[0].Pointer != "/lines/1/trim" {
		t.Errorf("fields %v", e.Fields)
	}
}

// Files and proofs of a quote stay the same, byte for byte, after the book has
// become another.
func TestQuoteOutlivesTheBook(t *testing.T) {
	t.Parallel()
	o, ctx := newOffice(t), t.Context()
	d := o.issue(t, offer("GB"))
	before := map[string][]byte{}
	for _, format := range promise.Formats() {
		data, name, media, err := o.QuoteFile(ctx, maker, d.Number, 0, format)
		if err != nil || len(data) == 0 || !strings.HasPrefix(name, "quote-2026-0001") || media == "" {
			t.Fatalf("%s: %d bytes, %q, %q, %v", format, len(data), name, media, err)
		}
		before[format] = data
	}
	want, err := o.ExplainQuote(ctx, d.Number, 0, "quote/total", -1)
	if err != nil || want.Value != d.Totals.Total.Value {
		t.Fatalf("total %s, %v", want.Value, err)
	}
	_, version, err := o.ExportBook(ctx)
	if err != nil {
		t.Fatal(err)
	}
	other := bytes.ReplaceAll(testdata.Demo, []byte("margin: 0.36"), []byte("margin: 0.12"))
	if _, err := o.ImportBook(ctx, maker, other, version); err != nil {
		t.Fatal(err)
	}
	o.pass(40 * 24 * time.Hour)
	for format, data := range before {
		again, _, _, err := o.QuoteFile(ctx, maker, d.Number, 1, format)
		if err != nil || !bytes.Equal(again, data) {
			t.Errorf("%s has changed, %v", format, err)
		}
	}
	got, err := o.ExplainQuote(ctx, d.Number, 1, "quote/total", -1)
	if err != nil || got.Value != want.Value || len(got.Steps) != len(want.Steps) {
		t.Errorf("total %s, %v", got.Value, err)
	}
	if now := o.issue(t, offer("GB")); now.Totals.Total.Value == d.Totals.Total.Value {
		t.Error("the new book gives the old price")
	}
	_, err = o.ExplainQuote(ctx, d.Number, 1, "quote/nothing", 0)
	wantCode(t, err, answer.NotFound)
	_, _, _, err = o.QuoteFile(ctx, maker, d.Number, 1, "docx")
	wantCode(t, err, answer.NotFound)
	wantCostWorkbook(t, before["cost.xlsx"], d)
}

// wantCostWorkbook recalculates the shop's workbook of a quote.
func wantCostWorkbook(t *testing.T, file []byte, d promise.Quote) {
	t.Helper()
	cells := recalctest.Recalculate(t, file)[0]
	for name, f := range map[string]quote.Figure{"_quote_total": d.Totals.Total, "_quote_net": d.Totals.Net, "_quote_line_glow_price": d.Lines[0].Price} {
		if got := cells[name]; got != f.Value {
			t.Errorf("%s recalculates to %q, want %s", name, got, f.Value)
		}
	}
}

func TestQuoteViewCarriesKeys(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	d := o.issue(t, offer("GB"))
	v := d.View()
	if v.Title != "Quote 2026-0001" || v.Hash != d.Hash || len(v.Lines) != 2 {
		t.Errorf("view %q of %d lines", v.Title, len(v.Lines))
	}
	amounts := append(append(v.Sums, v.Arrival...), v.Exchange...)
	for _, l := range v.Lines {
		amounts = append(amounts, l.Quantity, l.Batch, l.Price, l.Total)
	}
	for _, a := range amounts {
		p, err := o.ExplainQuote(t.Context(), d.Number, 0, a.Figure.Key, 0)
		if err != nil || p.Value != a.Figure.Value || a.Text == "" {
			t.Errorf("%s: shown %q, proved %q, %v", a.Label, a.Figure.Value, p.Value, err)
		}
	}
}

// TestQuoteIsChangedAsSeen names books, days and states that are no longer those
// of now.
func TestQuoteIsChangedAsSeen(t *testing.T) {
	t.Parallel()
	o, ctx := newOffice(t), t.Context()
	preview, err := o.PreviewQuote(ctx, maker, "", offer("GB"))
	if err != nil || preview.Book == "" {
		t.Fatalf("preview of the book %q, %v", preview.Book, err)
	}
	seen := promise.Seen{Book: preview.Book, Day: preview.Inputs.Day}
	o.pass(24 * time.Hour)
	_, err = o.issued(ctx, maker, "", offer("GB"), seen)
	wantCode(t, err, answer.FiguresChanged)
	seen.Day = ""
	first, err := o.issued(ctx, maker, "", offer("GB"), seen)
	if err != nil || first.Number != "2026-0001" {
		t.Fatalf("issued %q, %v", first.Number, err)
	}
	_, err = o.issued(ctx, maker, first.Number, offer("GB"), promise.Seen{Book: "another"})
	wantCode(t, err, answer.FiguresChanged)
	at := promise.Seen{Quote: first.Version()}
	if _, err := o.issued(ctx, maker, first.Number, offer("GB"), at); err != nil {
		t.Fatal(err)
	}
	_, err = o.issued(ctx, maker, first.Number, offer("GB"), at)
	wantCode(t, err, answer.Conflict)
	wantCode(t, o.withdraw(ctx, maker, first.Number, at), answer.Conflict)
	now, err := o.Quote(ctx, first.Number, 0)
	if err != nil || now.Revision != 2 || now.State != quote.Issued {
		t.Fatalf("revision %d %s, %v", now.Revision, now.State, err)
	}
	if err := o.withdraw(ctx, maker, first.Number, promise.Seen{Quote: now.Version()}); err != nil {
		t.Error(err)
	}
}
