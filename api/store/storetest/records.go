package storetest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/testdata"
)

func failedUpdate(t *testing.T, b *bench) {
	stop := errors.New("stop")
	err := b.store.Update(t.Context(), func(tx service.Tx) error {
		ctx := t.Context()
		if _, err := tx.Quotes().NextNumber(ctx, "Q"); err != nil {
			return err
		}
		if err := tx.Records().SetVersion(ctx, "never"); err != nil {
			return err
		}
		return errors.Join(tx.Log().Append(ctx, entry(1)), stop)
	})
	if !errors.Is(err, stop) {
		t.Errorf("error %v", err)
	}
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		_, err := tx.Log().Head(ctx)
		wantCode(t, err, answer.NotFound)
		v, err := tx.Records().Version(ctx)
		if v != "" {
			t.Errorf("version %q", v)
		}
		return err
	})
	b.update(t, func(ctx context.Context, tx service.Tx) error {
		n, err := tx.Quotes().NextNumber(ctx, "Q")
		if n != 1 {
			t.Errorf("the number given back is %d", n)
		}
		return err
	})
}

func entry(seq int64) service.LogEntry {
	return service.LogEntry{Seq: seq, Actor: "a", Prev: make([]byte, 32), Hash: make([]byte, 32)}
}

// oneState reads twice within a view, with a change in between.
func oneState(t *testing.T, b *bench) {
	b.small(t)
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		first, err := tx.Records().Version(ctx)
		if err != nil {
			return err
		}
		if _, err := b.service.PutRecord(t.Context(), maker, "suppliers", "NEW", supplier("NEW", "Nova"), ""); err != nil {
			return err
		}
		second, err := tx.Records().Version(ctx)
		if first != second {
			t.Errorf("version %s, then %s", first, second)
		}
		return err
	})
	v, err := b.store.BookVersion(t.Context())
	if _, now, errBook := b.service.Book(t.Context()); err != nil || errBook != nil || v != now {
		t.Errorf("version %s, of the book %s; %v, %v", v, now, err, errBook)
	}
}

func optimisticVersions(t *testing.T, b *bench) {
	b.small(t)
	ctx := t.Context()
	for round := range 3 {
		before, err := b.service.Record(ctx, "suppliers", "DRUSAVEL", 0)
		if err != nil {
			t.Fatal(err)
		}
		errs := parallel(12, func(i int) error {
			body := supplier("DRUSAVEL", fmt.Sprintf("Drusavel %d.%d", round, i))
			_, err := b.service.PutRecord(ctx, maker, "suppliers", "DRUSAVEL", body, before.Version)
			return err
		})
		wantCodes(t, errs, map[answer.Code]int{"": 1, answer.Conflict: 11})
		after, err := b.service.Record(ctx, "suppliers", "DRUSAVEL", 0)
		if err != nil || after.Revision != before.Revision+1 || after.Version == before.Version {
			t.Errorf("revision %d after %d, %v", after.Revision, before.Revision, err)
		}
	}
	_, err := b.service.PutRecord(ctx, maker, "suppliers", "DRUSAVEL", supplier("DRUSAVEL", "x"), "")
	wantCode(t, err, answer.VersionMissing)
	_, err = b.service.DeleteRecord(ctx, maker, "suppliers", "DRUSAVEL", "1-old")
	wantCode(t, err, answer.Conflict)
	b.verified(t)
}

func revisionOnce(t *testing.T, b *bench) {
	one := service.StoredRecord{Kept: record.Kept{Kind: "suppliers", ID: "A", Revision: 1, Text: []byte("x")}, Hash: []byte{1}, ChangedAt: b.clock.Now()}
	b.update(t, func(ctx context.Context, tx service.Tx) error { return tx.Records().Append(ctx, one) })
	err := b.store.Update(t.Context(), func(tx service.Tx) error { return tx.Records().Append(t.Context(), one) })
	wantCode(t, err, answer.Exists)
}

func createdOnce(t *testing.T, b *bench) {
	b.small(t)
	errs := parallel(12, func(i int) error {
		_, err := b.service.PutRecord(t.Context(), maker, "suppliers", "NEW", supplier("NEW", fmt.Sprintf("Nova %d", i)), "")
		return err
	})
	wantCodes(t, errs, map[answer.Code]int{"": 1, answer.VersionMissing: 11})
}

// immutable tries to change what never changes, as somebody with the database.
func immutable(t *testing.T, b *bench) {
	b.small(t)
	b.verified(t)
	b.quote(t, "Q-1", 1)
	for _, statement := range []string{
		"UPDATE record_revisions SET body = 'x'", "DELETE FROM record_revisions WHERE id = 'DRUSAVEL'",
		"UPDATE change_log SET actor = 'x' WHERE seq = 1", "DELETE FROM change_log WHERE seq = 1",
		"UPDATE quote_revisions SET customer = 'x'", "DELETE FROM quote_revisions",
	} {
		if err := b.store.Behind(statement); err == nil || !strings.Contains(err.Error(), "never changes") && !strings.Contains(err.Error(), "only grows") {
			t.Errorf("%s: %v", statement, err)
		}
	}
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		got, err := tx.Quotes().Get(ctx, "Q-1", 1)
		if !reflect.DeepEqual(got, stored("Q-1", 1, b.clock.Now())) {
			t.Errorf("the quote is now %+v", got)
		}
		return err
	})
}

func recordPages(t *testing.T, b *bench) {
	b.demo(t)
	ctx := t.Context()
	_, _, err := b.service.Records(ctx, "gadgets", "", 1)
	wantCode(t, err, answer.NotFound)
	for _, kind := range change.Kinds() {
		all, next, err := b.service.Records(ctx, kind, "", 500)
		if err != nil || next != "" {
			t.Fatalf("%s: next %q, %v", kind, next, err)
		}
		if !slices.IsSortedFunc(all, func(a, b service.RecordHead) int { return strings.Compare(a.ID, b.ID) }) {
			t.Errorf("%s are not in order", kind)
		}
		var paged []service.RecordHead
		for after, rounds := "", 0; rounds == 0 || after != ""; rounds++ {
			page, next, err := b.service.Records(ctx, kind, after, 2)
			if err != nil || len(page) > 2 || rounds > 100 {
				t.Fatalf("%s: page of %d, %v", kind, len(page), err)
			}
			paged, after = append(paged, page...), next
		}
		if len(all)+len(paged) > 0 && !reflect.DeepEqual(all, paged) {
			t.Errorf("%s: %d in one page, %d in pages of 2", kind, len(all), len(paged))
		}
	}
}

func importExport(t *testing.T, b *bench) {
	ctx := t.Context()
	v := b.demo(t)
	want, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	text, exported, err := b.service.ExportBook(ctx)
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := book.Parse(text)
	if err != nil || exported != v || !reflect.DeepEqual(got, want) {
		t.Errorf("the exported book is another one (version %s, of the import %s, %v)", exported, v, err)
	}
	again, err := b.service.ImportBook(ctx, maker, text, v)
	if err != nil || again.Version != v || again.Created+again.Changed+again.Deleted > 0 || again.Unchanged == 0 {
		t.Errorf("the same book again: %+v, %v", again, err)
	}
	_, err = b.service.ImportBook(ctx, maker, text, "")
	wantCode(t, err, answer.VersionMissing)
	_, err = b.service.ImportBook(ctx, maker, text, "old")
	wantCode(t, err, answer.Conflict)
	b.turnedAround(t, want, v)
	b.verified(t)
}

// turnedAround imports the book with a list the other way round and one record
// changed: nothing else gets a revision, and the order is kept.
func (b *bench) turnedAround(t *testing.T, want *book.Book, v answer.Version) {
	t.Helper()
	slices.Reverse(want.Suppliers)
	want.Suppliers[0].Name = "another"
	text, err := want.Write()
	if err != nil {
		t.Fatal(err)
	}
	done, err := b.service.ImportBook(t.Context(), maker, text, v)
	if err != nil || done.Changed != 1 || done.Created+done.Deleted > 0 || done.Version == v {
		t.Errorf("one change and another order: %+v, %v", done, err)
	}
	again, _, err := b.service.ExportBook(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got, _, err := book.Parse(again); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("the order is lost, %v", err)
	}
	if lines := bytes.Count(again, []byte("\n")); lines != bytes.Count(testdata.Demo, []byte("\n")) {
		t.Errorf("the hand of its author is lost: %d lines", lines)
	}
}

func deletedRecords(t *testing.T, b *bench) {
	b.small(t)
	ctx := t.Context()
	put := func(name string, ifMatch answer.Version) service.Record {
		t.Helper()
		r, err := b.service.PutRecord(ctx, maker, "suppliers", "NEW", supplier("NEW", name), ifMatch)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	first := put("Nova", "")
	if same := put("Nova", first.Version); same.Revision != 1 {
		t.Errorf("the same again makes revision %d", same.Revision)
	}
	if _, err := b.service.DeleteRecord(ctx, maker, "suppliers", "NEW", first.Version); err != nil {
		t.Fatal(err)
	}
	_, err := b.service.Record(ctx, "suppliers", "NEW", 0)
	wantCode(t, err, answer.NotFound)
	_, err = b.service.DeleteRecord(ctx, maker, "suppliers", "NEW", first.Version)
	wantCode(t, err, answer.NotFound)
	_, err = b.service.PutRecord(ctx, maker, "suppliers", "NEW", supplier("NEW", "x"), first.Version)
	wantCode(t, err, answer.Conflict)
	if back := put("Nova", ""); back.Revision != 3 || back.Version == first.Version {
		t.Errorf("back as revision %d, version %s", back.Revision, back.Version)
	}
	revisions, err := b.service.Revisions(ctx, "suppliers", "NEW")
	if err != nil || len(revisions) != 3 || !revisions[1].Deleted || revisions[0].Revision != 3 {
		t.Errorf("revisions %+v, %v", revisions, err)
	}
	if old, err := b.service.Record(ctx, "suppliers", "NEW", 1); err != nil || string(old.Text) != string(first.Text) {
		t.Errorf("the first revision is now %s, %v", old.Text, err)
	}
	b.verified(t)
}

// Spoil makes a record of the demo book what an earlier program took and this one
// refuses: a shade that takes one and a half pieces to set up.
func Spoil(t *testing.T, st service.Store) {
	t.Helper()
	ctx := t.Context()
	err := st.Update(ctx, func(tx service.Tx) error {
		r, err := tx.Records().Get(ctx, "parts", "SH-POM", 0)
		if err != nil {
			return err
		}
		r.Text = bytes.Replace(r.Text, []byte("setup_pieces: 1,"), []byte("setup_pieces: 1.5,"), 1)
		sum := sha256.Sum256(r.Text)
		r.Revision, r.Hash = r.Revision+1, sum[:]
		if err := tx.Records().Append(ctx, r); err != nil {
			return err
		}
		return tx.Records().SetVersion(ctx, "as an earlier program left it")
	})
	if err != nil {
		t.Fatal(err)
	}
}
