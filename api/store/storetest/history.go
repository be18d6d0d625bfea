package storetest

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
)

// why is an actor with a reason.
func why(name, reason string) service.Actor {
	return service.Actor{Name: name, Scopes: service.AllScopes, Reason: reason}
}

// history makes changes of all kinds, and wants each told with who, why, fields and effect,
// and undone as a change of its own.
func history(t *testing.T, b *bench) {
	ctx := t.Context()
	v := b.demo(t)
	whole := b.exported(t)
	ana, rui := why("ana", "the plater has raised his price"), why("rui", "")
	rate := []change.Change{{Key: "rate-card/administration", Value: "0.12"}}
	if _, err := b.service.ApplyChange(ctx, ana, rate, v); err != nil {
		t.Fatal(err)
	}
	if _, err := b.service.PutRecord(ctx, rui, "suppliers", "NEW", supplier("NEW", "Nova"), ""); err != nil {
		t.Fatal(err)
	}
	page := b.changes(t, service.ChangesOf{Told: 3}, 2)
	if len(page) != 2 || page[0].Actor != "rui" || page[1].Reason != ana.Reason || len(page[1].Records) != 1 {
		t.Fatalf("%+v", page)
	}
	raised, added := page[1].Seq, page[0].Seq
	for want, of := range map[int64]service.ChangesOf{raised: {Actor: "ana"}, added: {Record: "suppliers/NEW"}, 1: {Record: "suppliers/DRUSAVEL"}} {
		if got := b.changes(t, of, 50); len(got) != 1 || got[0].Seq != want {
			t.Errorf("%+v: not change %d alone: %+v", of, want, got)
		}
	}
	before := b.verified(t)
	c, err := b.service.ChangeAt(ctx, raised)
	if err != nil || len(c.Records[0].Fields) != 1 || c.Records[0].Fields[0].After != "0.12" || c.Effect == nil || len(c.Effect.Moved) == 0 || c.Effect.Moved[0].By.Value == "" {
		t.Fatalf("the change: %+v, %v", c, err)
	}
	if kept, err := b.service.ChangeAt(ctx, raised); err != nil || kept.Effect.Moved[0].By.Value != c.Effect.Moved[0].By.Value || b.verified(t).Entries != before.Entries {
		t.Errorf("looked at again: %+v, %v", kept.Effect, err)
	}
	if c, err := b.service.ChangeAt(ctx, added); err != nil || len(c.Effect.Moved) != 0 || c.Effect.Same == 0 {
		t.Errorf("a supplier moved costs: %+v, %v", c.Effect, err)
	}
	b.clock.advance(time.Hour)
	b.undone(t, raised, added, whole)
}

func (b *bench) changes(t *testing.T, of service.ChangesOf, limit int) []service.Change {
	t.Helper()
	page, _, err := b.service.History(t.Context(), of, limit)
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// undone undoes the two changes and wants the book back, then undoes the undoing.
func (b *bench) undone(t *testing.T, raised, added int64, whole string) {
	t.Helper()
	ctx := t.Context()
	for _, number := range []int64{raised, added} {
		if _, err := b.service.Undo(ctx, why("rui", "a slip"), number); err != nil {
			t.Fatal(err)
		}
	}
	if got := b.exported(t); got != whole {
		t.Errorf("the book is not what it was:\n%s", got)
	}
	_, err := b.service.Undo(ctx, maker, added)
	wantCode(t, err, answer.Conflict)
	if err == nil || !strings.Contains(err.Error(), "suppliers/NEW: rui saved revision 2") {
		t.Errorf("undone twice: %v", err)
	}
	last := b.changes(t, service.ChangesOf{Told: 1}, 1)[0]
	if last.Action != "undo" || last.Reason != "a slip" || last.Records[0].Did != "removed" {
		t.Errorf("the undoing: %+v", last)
	}
	if _, err := b.service.Undo(ctx, maker, last.Seq); err != nil {
		t.Errorf("undoing the undoing: %v", err)
	}
	if r, err := b.service.Record(ctx, "suppliers", "NEW", 0); err != nil || r.Revision != 3 || !strings.Contains(string(r.Text), "Nova") {
		t.Errorf("after it: %+v, %v", r, err)
	}
	_, err = b.service.Undo(ctx, maker, 1_000_000)
	wantCode(t, err, answer.NotFound)
	_, err = b.service.Undo(ctx, service.Actor{Name: "r", Scopes: service.Read}, added)
	wantCode(t, err, answer.Forbidden)
	for _, bad := range []string{"two\nlines", "hidden\u200b", strings.Repeat("x", 301)} {
		_, err = b.service.PutRecord(ctx, why("ana", bad), "suppliers", "NEW", supplier("NEW", "Nova 2"), answer.AnyVersion)
		wantCode(t, err, answer.Invalid)
	}
	b.verified(t)
}

func (b *bench) exported(t *testing.T) string {
	t.Helper()
	text, _, err := b.service.ExportBook(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// removalUndone: a record that was removed comes back with what it said.
func removalUndone(t *testing.T, b *bench) {
	ctx := t.Context()
	b.small(t)
	if _, err := b.service.DeleteRecord(ctx, why("ana", "closed down"), "suppliers", "CAIXA", answer.AnyVersion); err != nil {
		t.Fatal(err)
	}
	number, err := b.service.LastChange(ctx, why("ana", ""), "")
	if err != nil || number == 0 {
		t.Fatalf("change %d, %v", number, err)
	}
	if _, err := b.service.Undo(ctx, maker, number); err != nil {
		t.Fatal(err)
	}
	if r, err := b.service.Record(ctx, "suppliers", "CAIXA", 0); err != nil || !strings.Contains(string(r.Text), "Caixa Alta") {
		t.Errorf("%+v, %v", r, err)
	}
	_, v, err := b.service.Book(ctx)
	if last, again := b.service.LastChange(ctx, maker, v); err != nil || again != nil || last != 0 {
		t.Errorf("since the book is as it is: %d, %v", last, again)
	}
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		names, err := tx.Log().Actors(ctx)
		if !slices.Equal(names, []string{"ana", "maker"}) {
			t.Errorf("actors %v", names)
		}
		return err
	})
	b.verified(t)
}
