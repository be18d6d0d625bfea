package storetest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/costing/papers/quote"
)

func stored(number string, revision int, at time.Time) promise.StoredQuote {
	return promise.StoredQuote{
		Number: number, Revision: revision, State: "issued", Customer: "Casa Ôndega", Destination: "PT", Currency: "EUR",
		Net: decimal.New(10, -1), Tax: decimal.New(23, -2), Total: decimal.New(123, -2), ValidUntil: "2026-12-31",
		Document: []byte(`{"number":"` + number + `"}`), Hash: []byte{1, 2}, CreatedAt: at, CreatedBy: "maker",
	}
}

func (b *bench) quote(t *testing.T, number string, revision int) {
	t.Helper()
	b.update(t, func(ctx context.Context, tx service.Tx) error {
		return tx.Quotes().Insert(ctx, stored(number, revision, b.clock.Now()))
	})
}

// quoteNumbers issues from many sides at once; a third of the attempts fail
// after they have their number.
func quoteNumbers(t *testing.T, b *bench) {
	const issuers, each = 20, 6
	stop := errors.New("stop")
	var mu sync.Mutex
	issued := map[string]bool{}
	errs := parallel(issuers, func(i int) error {
		for k := range each {
			number := ""
			err := b.store.Update(t.Context(), func(tx service.Tx) error {
				n, err := tx.Quotes().NextNumber(t.Context(), "2026")
				if err != nil {
					return err
				}
				number = fmt.Sprintf("Q-2026-%04d", n)
				if err := tx.Quotes().Insert(t.Context(), stored(number, 1, b.clock.Now())); err != nil {
					return err
				}
				if (i+k)%3 == 0 {
					return stop
				}
				return nil
			})
			if err != nil && !errors.Is(err, stop) {
				return err
			}
			mu.Lock()
			if err == nil && issued[number] {
				t.Errorf("%s was issued twice", number)
			}
			issued[number] = issued[number] || err == nil
			mu.Unlock()
		}
		return nil
	})
	wantCodes(t, errs, map[answer.Code]int{"": issuers})
	for n := 1; n <= issuers*each*2/3; n++ {
		if number := fmt.Sprintf("Q-2026-%04d", n); !issued[number] {
			t.Errorf("%s is missing", number)
		}
	}
	b.update(t, func(ctx context.Context, tx service.Tx) error {
		next, err := tx.Quotes().NextNumber(ctx, "2026")
		other, err2 := tx.Quotes().NextNumber(ctx, "2027")
		if next != issuers*each*2/3+1 || other != 1 {
			t.Errorf("the next number is %d, of another series %d", next, other)
		}
		return errors.Join(err, err2)
	})
}

func quotePages(t *testing.T, b *bench) {
	for n := range 5 {
		b.quote(t, fmt.Sprintf("Q-%d", n+8), 1) // Q-10 comes after Q-9
	}
	b.quote(t, "Q-9", 2)
	err := b.store.Update(t.Context(), func(tx service.Tx) error {
		return tx.Quotes().Insert(t.Context(), stored("Q-9", 2, b.clock.Now()))
	})
	wantCode(t, err, answer.Exists)
	b.update(t, func(ctx context.Context, tx service.Tx) error { return tx.Quotes().SetState(ctx, "Q-8", "withdrawn") })
	err = b.store.Update(t.Context(), func(tx service.Tx) error { return tx.Quotes().SetState(t.Context(), "Q-1", "withdrawn") })
	wantCode(t, err, answer.NotFound)
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		var got []string
		for after := ""; ; {
			page, err := tx.Quotes().Page(ctx, after, 2)
			if err != nil || len(page) == 0 {
				if text := strings.Join(got, " "); text != "Q-12@1issued Q-11@1issued Q-10@1issued Q-9@2issued Q-8@1withdrawn" {
					t.Errorf("pages give %s", text)
				}
				return err
			}
			for _, q := range page {
				got = append(got, fmt.Sprintf("%s@%d%s", q.Number, q.Revision, q.State))
				after = q.Number
			}
		}
	})
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		latest, err := tx.Quotes().Get(ctx, "Q-9", 0)
		if want := stored("Q-9", 2, b.clock.Now()); !reflect.DeepEqual(latest, want) {
			t.Errorf("got %+v, want %+v", latest, want)
		}
		_, missing := tx.Quotes().Get(ctx, "Q-9", 3)
		wantCode(t, missing, answer.NotFound)
		return err
	})
}

// quotePatterns wants quotes alike to be kept as what differs from one pattern, a pattern of
// others to differ from that, and a pattern behind the log's back to be named.
func quotePatterns(t *testing.T, b *bench) {
	b.demo(t)
	for i, destination := range []string{"GB", "GB", "DE"} {
		req := quote.Request{Lines: []quote.RequestLine{{Trim: "plain", Quantity: fmt.Sprint(7 + 20*i)}}, Destination: destination,
			Customer: quote.Party{Name: "Example & Co"}, ValidDays: 30, Delivery: quote.Delivery{Term: "DAP", Place: "Leeds"}, ConfirmUnverified: true}
		b.update(t, func(ctx context.Context, tx service.Tx) error {
			_, err := b.service.IssueQuote(ctx, tx, maker, "", req)
			return err
		})
	}
	b.verified(t)
	var patterns []promise.StoredPattern
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		return tx.Quotes().EachPattern(ctx, func(one promise.StoredPattern) error { patterns = append(patterns, one); return nil })
	})
	if len(patterns) != 2 || !patterns[0].Whole || patterns[1].Whole || patterns[1].Likeness != "DE LAMP/plain" {
		t.Fatalf("%d patterns, %+v", len(patterns), patterns)
	}
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		return tx.Quotes().EachRevision(ctx, func(q promise.StoredQuote) error {
			if hash, ok := quote.PatternOf(q.Document); !ok || !slices.ContainsFunc(patterns, func(one promise.StoredPattern) bool { return bytes.Equal(one.Hash, hash[:]) }) {
				t.Errorf("quote %s has no pattern", q.Number)
			}
			return nil
		})
	})
	if err := b.store.Behind("DELETE FROM quote_patterns"); err == nil {
		t.Error("a pattern can be deleted")
	}
	if err := b.store.Unlock("quote_patterns"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ change, number string }{
		{"DELETE FROM quote_patterns WHERE likeness = 'DE LAMP/plain'", "2026-0003"}, {"UPDATE quote_patterns SET document = hash", "2026-0001"},
	} {
		if err := b.store.Behind(c.change); err != nil {
			t.Fatal(err)
		}
		b.named(t, c.change, "quotes/"+c.number+"@1")
		if _, err := b.service.Quote(t.Context(), c.number, 0); err == nil {
			t.Errorf("%s: the quote is opened", c.change)
		}
	}
}

// decimals stores and reads figures that floats or fixed places would change.
func decimals(t *testing.T, b *bench) {
	figures := []string{
		"0.10", "0", "0.00", "-0.01", "-1234567890.12345678", "0.0000000000000000000000000000000001",
		"1234567890123456789012345678901234", "12345678901234567.12345678901234567", "9999999999999999999999999999999999", "100", "1.50",
	}
	for i, text := range figures {
		q := stored(fmt.Sprintf("Q-%d", i), 1, b.clock.Now())
		q.Net = decimal.RequireFromString(text)
		b.update(t, func(ctx context.Context, tx service.Tx) error { return tx.Quotes().Insert(ctx, q) })
		b.view(t, func(ctx context.Context, tx service.Tx) error {
			got, err := tx.Quotes().Get(ctx, q.Number, 1)
			if !got.Net.Equal(q.Net) || got.Net.Exponent() != q.Net.Exponent() {
				t.Errorf("%s came back as %s with exponent %d", text, got.Net, got.Net.Exponent())
			}
			return err
		})
	}
}

func times(t *testing.T, b *bench) {
	lisbon := time.FixedZone("somewhere", 5400)
	for i, at := range []time.Time{
		time.Date(2026, 11, 25, 23, 59, 59, 999999000, time.UTC),
		time.Date(2026, 10, 25, 1, 30, 0, 1000, lisbon),
		time.Date(1969, 7, 20, 20, 17, 40, 0, time.UTC),
		time.Date(2106, 2, 7, 6, 28, 16, 0, time.UTC),
		{},
	} {
		q := stored(fmt.Sprintf("Q-%d", i), 1, at)
		b.update(t, func(ctx context.Context, tx service.Tx) error { return tx.Quotes().Insert(ctx, q) })
		b.view(t, func(ctx context.Context, tx service.Tx) error {
			got, err := tx.Quotes().Get(ctx, q.Number, 1)
			if !got.CreatedAt.Equal(at) || got.CreatedAt.Location() != time.UTC || got.CreatedAt.IsZero() != at.IsZero() {
				t.Errorf("%s came back as %s", at, got.CreatedAt)
			}
			return err
		})
	}
}
