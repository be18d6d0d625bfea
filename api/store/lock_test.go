package store

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// TestLockSaysWhere: who comes second learns which process serves the database and
// where, and gets the place once it is given back.
func TestLockSaysWhere(t *testing.T) {
	t.Parallel()
	data := filepath.Join(t.TempDir(), "shop.db")
	first, err := Lock(data)
	if err != nil {
		t.Fatal(err)
	}
	second := func() *ServedError {
		t.Helper()
		_, err := Lock(data)
		var served *ServedError
		if !errors.As(err, &served) || served.Database != data || served.Process != strconv.Itoa(os.Getpid()) {
			t.Fatalf("a second lock: %v", err)
		}
		return served
	}
	if served := second(); served.Origin != "" || served.Error() == "" {
		t.Errorf("before it serves it is at %q", served.Origin)
	}
	first.Tell("http://127.0.0.1:8087")
	if served := second(); served.Origin != "http://127.0.0.1:8087" {
		t.Errorf("it is at %q", served.Origin)
	}
	first.Tell("http://a") // shorter than the one before
	if served := second(); served.Origin != "http://a" {
		t.Errorf("it is at %q", served.Origin)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := Lock(data)
	if err != nil {
		t.Fatalf("after it was given back: %v", err)
	}
	if err := again.Close(); err != nil {
		t.Error(err)
	}
}

// TestLockOfNobody: a lock file that says something else names nobody, and PostgreSQL
// takes any number.
func TestLockOfNobody(t *testing.T) {
	t.Parallel()
	f, err := os.CreateTemp(t.TempDir(), "lock")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteString("no number http://nowhere"); err != nil {
		t.Fatal(err)
	}
	_, _ = f.Seek(0, 0)
	var served *ServedError
	if err := servedBy("shop.db", f); !errors.As(err, &served) || served.Process != "" || served.Origin != "" {
		t.Errorf("it names %+v", served)
	}
	for range 2 {
		p, err := Lock("postgres://nobody@127.0.0.1:1/nothing")
		if err != nil {
			t.Fatal(err)
		}
		p.Tell("http://127.0.0.1:8087")
		defer p.Close() //nolint:errcheck // it holds nothing
	}
}
