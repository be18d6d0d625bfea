package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/costing/book"
)

var headSaid = regexp.MustCompile(`ends at entry (\d+), ([0-9a-f]{64})`)

// TestBackupUnderLoad makes backups while several sides write, and restores each:
// it is whole, ends at the head that was printed, which the database went through,
// and its figures are those of its book.
func TestBackupUnderLoad(t *testing.T) {
	t.Parallel()
	path, dir := shopFile(t, false), t.TempDir()
	st := must(store.Open(t.Context(), path))(t)
	svc := service.New(st, time.Now, rand.Reader)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 3)
	var writes atomic.Int64
	for side := range cap(ended) {
		go func() { ended <- busy(ctx, svc, side, &writes) }()
	}
	said := map[string][]string{}
	for i := range 3 {
		name := filepath.Join(dir, fmt.Sprintf("copy%d.db", i))
		before := writes.Load()
		for writes.Load() < before+10 {
			time.Sleep(time.Millisecond)
		}
		if said[name] = headSaid.FindStringSubmatch(mustRun(t, "backup", name, "--data", path)); said[name] == nil {
			t.Fatal("backup prints no head")
		}
	}
	stop()
	for range cap(ended) {
		if err := <-ended; err != nil && ctx.Err() == nil {
			t.Error(err)
		}
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	for name, head := range said {
		back := name + ".back"
		if out := mustRun(t, "restore", name, "--data", back); !strings.Contains(out, head[0]) {
			t.Errorf("restored is %s, written was %s", out, head[0])
		}
		if out := mustRun(t, "audit", "verify", "--data", back); !strings.HasPrefix(out, head[1]+" entries") || !strings.Contains(out, head[2]) {
			t.Errorf("%s: the copy ends elsewhere: %s", head[0], out)
		}
		if out := mustRun(t, "audit", "verify", "--head", head[2], "--data", path); !strings.Contains(out, "that of entry "+head[1]) {
			t.Errorf("the database never had %s: %s", head[0], out)
		}
		recomputed(t, back)
	}
}

// busy writes records until it is stopped.
func busy(ctx context.Context, svc *service.Service, side int, writes *atomic.Int64) error {
	for n := 0; ctx.Err() == nil; n++ {
		id := fmt.Sprintf("L%d-%d", side, n)
		if _, err := svc.PutRecord(ctx, maker(), "suppliers", id, fmt.Appendf(nil, "{id: %s, name: Load}", id), ""); err != nil {
			return err
		}
		writes.Add(1)
	}
	return nil
}

// recomputed holds the figures of a database against those of its book as text.
func recomputed(t *testing.T, path string) {
	t.Helper()
	st := must(store.Look(t.Context(), path))(t)
	defer st.Close()
	svc := service.New(st, time.Now, rand.Reader)
	text, _, err := svc.ExportBook(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := book.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	req := answer.PriceRequest{Day: "2026-11-25", Quantities: []decimal.Decimal{decimal.NewFromInt(100)}}
	want := must(answer.Of(b).Price(t.Context(), req))(t)
	if got, _, err := svc.PriceList(t.Context(), req); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%s: the figures are not those of its book: %v", path, err)
	}
}

// behind changes a database as somebody who has the file.
func behind(t *testing.T, path string, statements ...string) {
	t.Helper()
	db := must(sql.Open("sqlite", path))(t)
	defer db.Close()
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(err)
		}
	}
}

// TestBrokenLogFailsLoudly wants a backup of a log that was tampered with to be
// made, kept and called broken, and a log cut short to show beside a kept head.
func TestBrokenLogFailsLoudly(t *testing.T) {
	t.Parallel()
	path, dir := shopFile(t, false), t.TempDir()
	whole := headSaid.FindStringSubmatch(mustRun(t, "backup", filepath.Join(dir, "whole.db"), "--data", path))
	behind(t, path, "DROP TRIGGER change_log_no_update", "UPDATE change_log SET actor = 'x' WHERE seq = 5")
	for _, args := range [][]string{
		{"backup", filepath.Join(dir, "broken.db"), "--data", path},
		{"restore", filepath.Join(dir, "broken.db"), "--data", filepath.Join(dir, "back.db")},
		{"audit", "verify", "--data", path},
	} {
		out, _, err := kerfbook(t, "", args...)
		if err == nil || !strings.Contains(err.Error(), "2 faults in") || !strings.Contains(out, "change log entry 5: was changed") {
			t.Errorf("%v: %v\n%s", args, err, out)
		}
	}
	for _, name := range []string{"broken.db", "back.db"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Errorf("what was written is not kept: %v", err)
		}
	}
	cut := filepath.Join(dir, "whole.db")
	behind(t, cut, "DROP TRIGGER change_log_no_delete", "DELETE FROM change_log WHERE seq = (SELECT max(seq) FROM change_log)")
	out, _, err := kerfbook(t, "", "audit", "verify", "--data", cut, "--head", whole[2])
	if err == nil || !strings.Contains(out, "cut short or written anew") {
		t.Errorf("a log cut short: %v\n%s", err, out)
	}
	var usage *usageError
	if _, _, err := kerfbook(t, "", "audit", "verify", "--data", cut, "--head", "12"); !errors.As(err, &usage) {
		t.Errorf("half a fingerprint: %v", err)
	}
}

// TestBackupAndAuditChangeNothing looks at a database of an earlier schema.
func TestBackupAndAuditChangeNothing(t *testing.T) {
	t.Parallel()
	path := shopFile(t, false)
	behind(t, path, "DELETE FROM goose_db_version WHERE version_id = (SELECT max(version_id) FROM goose_db_version)", "PRAGMA journal_mode = DELETE")
	before := must(os.ReadFile(path))(t)
	mustRun(t, "audit", "verify", "--data", path)
	mustRun(t, "backup", path+".copy", "--data", path)
	if after, err := os.ReadFile(path); err != nil || !bytes.Equal(before, after) {
		t.Errorf("looking changed the database: %v", err)
	}
}

// TestRestoreBesideALog restores a backup where a crash left the log of a database:
// it would be played over the backup.
func TestRestoreBesideALog(t *testing.T) {
	t.Parallel()
	path, ctx := shopFile(t, false), t.Context()
	copied := path + ".copy"
	mustRun(t, "backup", copied, "--data", path)
	st := must(store.Open(ctx, path))(t)
	svc := service.New(st, time.Now, rand.Reader)
	if _, err := svc.PutRecord(ctx, maker(), "suppliers", "LATE", []byte("{id: LATE, name: Late}"), ""); err != nil {
		t.Fatal(err)
	}
	log, err := os.ReadFile(path + "-wal")
	if err != nil || len(log) == 0 {
		t.Fatal("the database has no log to leave behind", err)
	}
	raw := must(os.ReadFile(path))(t)
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	back := filepath.Join(t.TempDir(), "back.db")
	if err := os.WriteFile(back+"-wal", log, 0o600); err != nil {
		t.Fatal(err)
	}
	_, _, err = kerfbook(t, "", "restore", copied, "--data", back)
	if err == nil || !strings.Contains(err.Error(), back+"-wal was left by a database") || !strings.Contains(err.Error(), "--force") {
		t.Errorf("restored beside an old log: %v", err)
	}
	if _, err := os.Stat(back); !errors.Is(err, os.ErrNotExist) {
		t.Error("a refused restore left a database")
	}
	mustRun(t, "restore", copied, "--data", back, "--force")
	if a, b := mustRun(t, "audit", "verify", "--data", back), mustRun(t, "audit", "verify", "--data", copied); a != b {
		t.Errorf("restored is %swritten was %s", a, b)
	}
	if err := errors.Join(os.WriteFile(copied+"2", raw, 0o600), os.WriteFile(copied+"2-wal", log, 0o600)); err != nil {
		t.Fatal(err)
	}
	if _, _, err := kerfbook(t, "", "restore", copied+"2", "--data", back+"2"); err == nil || !strings.Contains(err.Error(), "is no backup") {
		t.Errorf("a database with its last changes in a log was taken for a backup: %v", err)
	}
}

// TestSecondServerIsRefused wants one server for one file, and a restore to keep
// away from it; commands for people go on.
func TestSecondServerIsRefused(t *testing.T) {
	t.Parallel()
	path := shopFile(t, false)
	copied := path + ".copy"
	mustRun(t, "backup", copied, "--data", path)
	first := start(t, "serve", "--data", path)
	other := filepath.Join(t.TempDir(), "other.db")
	if err := os.Symlink(path, other); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{path, other} {
		_, _, err := kerfbook(t, "", "serve", "--data", name, "--listen", "127.0.0.1:0")
		if err == nil || !strings.Contains(err.Error(), name+" is served by another kerfbook, process "+fmt.Sprint(os.Getpid())) {
			t.Errorf("a second server on %s: %v", name, err)
		}
	}
	mustRun(t, "link", "--data", path)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if _, _, err := kerfbook(t, "", "restore", copied, "--data", path, "--force"); err == nil || !strings.Contains(err.Error(), "is served by") {
		t.Errorf("restored under a server: %v", err)
	}
	first.end(t)
	mustRun(t, "restore", copied, "--data", path, "--force")
	start(t, "serve", "--data", path).end(t)
}
