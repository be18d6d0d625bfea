package store

import (
	"bytes"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

func TestFileIsKeptToItsOwner(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "odd name ?#%20é&=.db")
	s := open(t, path)
	fillAll(t, s)
	found, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
	if err != nil || len(found) != 3 { // the database, -wal and -shm
		t.Errorf("files %v, %v", found, err)
	}
	for _, name := range found {
		info, err := os.Stat(name)
		if err != nil || info.Mode().Perm() != 0o600 || !strings.HasPrefix(name, path) {
			t.Errorf("%s has mode %v, %v", name, info.Mode(), err)
		}
	}
}

func TestPinnedSettings(t *testing.T) {
	t.Parallel()
	s := open(t, filepath.Join(t.TempDir(), "book.db"))
	for name, db := range map[string]*sql.DB{"writer": s.write, "reader": s.read} {
		for pragma, want := range map[string]string{
			"journal_mode": "wal", "busy_timeout": "5000", "foreign_keys": "1", "synchronous": "2",
			"application_id": "1262834246", "query_only": map[string]string{"writer": "0", "reader": "1"}[name],
		} {
			var got string
			if err := db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
				t.Errorf("%s of the %s is %s, want %s; %v", pragma, name, got, want, err)
			}
		}
	}
	var version string
	if err := s.read.QueryRow("SELECT sqlite_version()").Scan(&version); err != nil || version < "3.51.3" || len(version) != len("3.51.3") {
		t.Errorf("SQLite %s may lose data when two connections write at once; %v", version, err)
	}
}

func TestForeignFilesAreRefused(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	text := filepath.Join(folder, "book.yaml")
	if err := os.WriteFile(text, bytes.Repeat([]byte("name: x\n"), 99), 0o600); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(folder, "other.db")
	db := must(sql.Open("sqlite", other))(t)
	if _, err := db.Exec("CREATE TABLE thing (x)"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		text: "is no database", other: "another program", "": "name a file", ":memory:": "name a file",
		folder: "is a directory", filepath.Join(folder, "no", "such.db"): "no such file",
	} {
		before, _ := os.ReadFile(path)
		s, err := Open(t.Context(), path)
		if err == nil {
			_ = s.Close()
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("opening %q: %v", path, err)
		}
		if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
			t.Errorf("%q was changed", path)
		}
	}
}

// TestDamagedFile overwrites pages in the middle.
func TestDamagedFile(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	fillAll(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	text := must(os.ReadFile(path))(t)
	for i := 3 * 4096; i < len(text); i++ {
		text[i] ^= 0x5a
	}
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), "restore the latest backup") {
		t.Errorf("opening a damaged file: %v", err)
	}
}

// TestSeveralStartAtOnce opens one new file from many sides.
func TestSeveralStartAtOnce(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "book.db")
	var wg sync.WaitGroup
	for range 6 {
		wg.Go(func() {
			s, err := Open(t.Context(), path)
			if err != nil {
				t.Error(err)
				return
			}
			if err := s.Ready(t.Context()); err != nil {
				t.Error(err)
			}
			_ = s.Close()
		})
	}
	wg.Wait()
}

// TestLockHeld has another program hold the write lock for longer than we wait.
func TestLockHeld(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	other, err := sql.Open("sqlite", dataSource(path, "_txlock=immediate"))
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	held := must(other.Begin())(t)
	start := time.Now()
	err = s.Update(t.Context(), func(service.Tx) error { return nil })
	if answer.CodeOf(err) != answer.Busy || time.Since(start) > 8*time.Second {
		t.Errorf("after %s: %v", time.Since(start), err)
	}
	if _, err := s.BookVersion(t.Context()); err != nil {
		t.Errorf("reading while another writes: %v", err)
	}
	if err := held.Rollback(); err != nil {
		t.Fatal(err)
	}
	if err := s.Update(t.Context(), func(service.Tx) error { return nil }); err != nil {
		t.Errorf("after the other has ended: %v", err)
	}
}

// must wants a call to work and gives its value.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
