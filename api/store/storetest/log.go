package storetest

import (
	"context"
	"crypto/rand"
	"fmt"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

func logVerifies(t *testing.T, b *bench) {
	ctx := t.Context()
	if r := b.verified(t); r.Entries != 0 || r.Head != "" {
		t.Errorf("an empty log: %+v", r)
	}
	b.small(t)
	before := b.verified(t)
	errs := parallel(10, func(i int) error {
		id := fmt.Sprintf("S%d", i)
		_, err := b.service.PutRecord(ctx, maker, "suppliers", id, supplier(id, "Zé \"\\ \U0001F529"), "")
		return err
	})
	wantCodes(t, errs, map[answer.Code]int{"": 10})
	after := b.verified(t)
	b.runningClock(t)
	b.logPages(t)
	// A new record is one entry, and where it stands another.
	if after.Entries != before.Entries+20 || after.Head == before.Head || len(after.Head) != 64 {
		t.Errorf("%d entries, then %d", before.Entries, after.Entries)
	}
}

// logPages reads the changes of the log from its end in small pages, each with all of
// its entries.
func (b *bench) logPages(t *testing.T) {
	t.Helper()
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		head, err := tx.Log().Head(ctx)
		if err != nil {
			return err
		}
		next := head.Seq
		for before := int64(0); ; {
			page, err := tx.Log().Page(ctx, service.ChangesOf{Before: before, SignIns: true}, 3)
			if err != nil || len(page) == 0 {
				if next != 0 {
					t.Errorf("the pages end before entry %d", next)
				}
				return err
			}
			for _, e := range page {
				of, err := tx.Log().Of(ctx, e.Seq)
				if err != nil {
					return err
				}
				if last := of[len(of)-1]; of[0].Seq != e.Seq || last.Seq != next || int64(len(of)) != next-e.Seq+1 {
					t.Errorf("change %d has %d entries up to %d; the next one begins behind %d", e.Seq, len(of), last.Seq, next)
				}
				next, before = e.Seq-1, e.Seq
			}
		}
	})
}

// runningClock writes with a clock of which no two readings are the same.
func (b *bench) runningClock(t *testing.T) {
	t.Helper()
	live := service.New(b.store, func() time.Time { b.clock.advance(time.Second); return b.clock.Now() }, rand.Reader)
	if _, err := live.PutRecord(t.Context(), maker, "suppliers", "LIVE", supplier("LIVE", "Viva"), ""); err != nil {
		t.Fatal(err)
	}
	if _, err := live.DeleteRecord(t.Context(), maker, "suppliers", "LIVE", answer.AnyVersion); err != nil {
		t.Fatal(err)
	}
	b.verified(t)
}

// changedRows changes one row at a time as somebody who has the database and
// wants the row named.
func changedRows(t *testing.T, b *bench) {
	b.small(t)
	if _, err := b.service.PutRecord(t.Context(), maker, "suppliers", "NEW", supplier("NEW", "Nova"), ""); err != nil {
		t.Fatal(err)
	}
	rows := b.visits(t)
	_, token, err := b.service.CreateToken(t.Context(), maker, "script", service.Read, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	tokenRow := "tokens/" + token.ID + " script"
	person, err := b.service.SetPerson(t.Context(), maker, "", "Rita", service.QuoteOnly, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range []string{"change_log", "record_revisions"} {
		if err := b.store.Unlock(table); err != nil {
			t.Fatal(err)
		}
	}
	whole := b.verified(t)
	for _, c := range []struct{ change, back, object string }{
		{"UPDATE change_log SET actor = 'mallory' WHERE seq = 5", "UPDATE change_log SET actor = 'maker' WHERE seq = 5", "change log entry 5"},
		{"UPDATE change_log SET reason = 'none' WHERE seq = 5", "UPDATE change_log SET reason = '' WHERE seq = 5", "change log entry 5"},
		{"UPDATE change_log SET change_no = 0 WHERE seq = 5", "UPDATE change_log SET change_no = 1 WHERE seq = 5", "change log entry 5"},
		{"UPDATE change_log SET at = at + 1 WHERE seq = 7", "UPDATE change_log SET at = at - 1 WHERE seq = 7", "change log entry 7"},
		{"UPDATE record_revisions SET changed_by = 'x' WHERE id = 'NEW'", "UPDATE record_revisions SET changed_by = 'maker' WHERE id = 'NEW'", "suppliers/NEW@1"},
		{"UPDATE record_revisions SET name = 'x' WHERE id = 'NEW'", "UPDATE record_revisions SET name = 'Nova' WHERE id = 'NEW'", "suppliers/NEW@1"},
		{"UPDATE record_revisions SET body = replace(body, 'Nova', 'Nava') WHERE id = 'NEW'",
			"UPDATE record_revisions SET body = replace(body, 'Nava', 'Nova') WHERE id = 'NEW'", "suppliers/NEW@1"},
		{"UPDATE people SET role = 'all'", "UPDATE people SET role = 'quotes'", "people/" + person.ID},
		{"UPDATE people SET shut_out_at = 1", "UPDATE people SET shut_out_at = 0", "people/" + person.ID},
		{"UPDATE sessions SET person = 'x'", "UPDATE sessions SET person = ''", rows.session},
		{"UPDATE tokens SET scopes = 15", "UPDATE tokens SET scopes = 1", tokenRow},
		{"UPDATE tokens SET expires_at = 9000000000000000", "UPDATE tokens SET expires_at = 0", tokenRow},
		{"UPDATE tokens SET revoked_at = 1", "UPDATE tokens SET revoked_at = 0", tokenRow},
		{"UPDATE book_state SET version = version || 'x'", "UPDATE book_state SET version = substr(version, 1, 24)", "book"},
		{"UPDATE record_heads SET position = 9 WHERE id = 'NEW'", "UPDATE record_heads SET position = 5 WHERE id = 'NEW'", "book"},
		{"INSERT INTO quote_series (series, last) VALUES ('2026', 7)", "DELETE FROM quote_series", "quote numbers of 2026"},
		{"UPDATE sign_in_links SET spent_at = 0 WHERE spent_at > 0", rows.spend, rows.used},
		{"UPDATE sign_in_links SET expires_at = expires_at + 1 WHERE spent_at = 0", "UPDATE sign_in_links SET expires_at = expires_at - 1 WHERE spent_at = 0", rows.unused},
		{"UPDATE sessions SET scopes = 1", "UPDATE sessions SET scopes = 15", rows.session},
		{"UPDATE sessions SET expires_at = expires_at + 1", "UPDATE sessions SET expires_at = expires_at - 1", rows.session},
		{"UPDATE sessions SET created_at = created_at - 90000000", "UPDATE sessions SET created_at = created_at + 90000000", rows.session},
		{fmt.Sprintf("UPDATE change_log SET seq = %d WHERE seq = 3", whole.Entries+1), fmt.Sprintf("UPDATE change_log SET seq = 3 WHERE seq = %d", whole.Entries+1),
			fmt.Sprintf("change log entry %d", whole.Entries+1)},
	} {
		if err := b.store.Behind(c.change); err != nil {
			t.Fatalf("%s: %v", c.change, err)
		}
		b.named(t, c.change, c.object)
		if err := b.store.Behind(c.back); err != nil {
			t.Fatalf("%s: %v", c.back, err)
		}
		b.verified(t)
	}
	last := fmt.Sprintf("DELETE FROM change_log WHERE seq = %d", whole.Entries)
	if err := b.store.Behind(last); err != nil {
		t.Fatal(err)
	}
	b.named(t, last, "people/"+person.ID)
}

// visitRows are the objects of a used link, an unused one and a session, and what
// marks the one as used again.
type visitRows struct{ used, unused, session, spend string }

// visits makes two links, signs in with one, and signs another visit in and out.
func (b *bench) visits(t *testing.T) (out visitRows) {
	t.Helper()
	if err := b.service.SignOut(t.Context(), b.signIn(t)); err != nil {
		t.Fatal(err)
	}
	b.verified(t)
	b.clock.advance(20 * time.Minute) // the next link forgets those before
	b.signIn(t)
	b.clock.advance(time.Second)
	b.link(t)
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		page, err := tx.Log().Page(ctx, service.ChangesOf{SignIns: true}, 10)
		for _, e := range page {
			switch e.Action {
			case "use sign-in link":
				if out.used == "" {
					out.used, out.spend = e.Object, fmt.Sprintf("UPDATE sign_in_links SET spent_at = %d WHERE expires_at < %d", e.At.UnixMicro(), e.At.Add(15*time.Minute+time.Millisecond).UnixMicro())
				}
			case "make sign-in link":
				if out.unused == "" {
					out.unused = e.Object
				}
			case "sign in":
				if out.session == "" {
					out.session = e.Object
				}
			}
		}
		return err
	})
	return out
}

func (b *bench) named(t *testing.T, change, object string) {
	t.Helper()
	report, err := b.service.VerifyLog(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, f := range report.Faults {
		found = append(found, f.Object)
		if f.Object == object {
			return
		}
	}
	t.Errorf("%s: the row %s is not named; named are %s", change, object, strings.Join(found, ", "))
}
