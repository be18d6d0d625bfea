package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/testdata"
)

// shopFile gives a database with the demo book, closed; spoil makes one record of
// it what an earlier program took and this one refuses.
func shopFile(t *testing.T, spoil bool) string {
	t.Helper()
	ctx, path := t.Context(), filepath.Join(t.TempDir(), "shop.db")
	st, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := service.New(st, time.Now, rand.Reader).ImportBook(ctx, maker(), testdata.Demo, ""); err != nil {
		t.Fatal(err)
	}
	err = st.Update(ctx, func(tx service.Tx) error {
		r, err := tx.Records().Get(ctx, "parts", "SH-POM", 0)
		if err != nil || !spoil {
			return err
		}
		r.Text = bytes.Replace(r.Text, []byte("setup_pieces: 1,"), []byte("setup_pieces: 1.5,"), 1)
		sum := sha256.Sum256(r.Text)
		r.Revision, r.Hash = 2, sum[:]
		return tx.Records().Append(ctx, r)
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestBookOfADatabase wants a database to do in the place of a book's file.
func TestBookOfADatabase(t *testing.T) {
	t.Parallel()
	path := shopFile(t, false)
	day := []string{"--day", "2026-11-25"}
	if got := mustRun(t, append([]string{"check", "--data", path}, day...)...); got != mustRun(t, append([]string{"check", "demo"}, day...)...) {
		t.Errorf("check says %s", got)
	}
	for _, what := range []string{"book", "csv"} {
		if got := mustRun(t, append([]string{"export", what, "--data", path}, day...)...); got != mustRun(t, append([]string{"export", what, "demo"}, day...)...) {
			t.Errorf("export %s of the database differs from that of the file", what)
		}
	}
	table := mustRun(t, "export", "operations", "--data", path, "--part", "SH-POM")
	changed := filepath.Join(t.TempDir(), "shade.csv")
	if err := os.WriteFile(changed, []byte(strings.Replace(table, "turn inside and outside", "turn both sides", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, said, err := kerfbook(t, "", "import", "SH-POM", changed, "--data", path); err != nil || !strings.Contains(said, "changed parts/SH-POM") || !strings.Contains(said, "turn both sides") {
		t.Errorf("import says %s, %v", said, err)
	}
	if got := mustRun(t, "export", "operations", "--data", path, "--part", "SH-POM"); !strings.Contains(got, "turn both sides") {
		t.Error("the database does not have what was imported")
	}
	if _, _, err := kerfbook(t, "", "import", "SH-POM", changed, "--data", path, "-o", "new.yaml"); err == nil {
		t.Error("import takes both a file to write and a database")
	}
	if _, _, err := kerfbook(t, "", "check", "--data", path+".not"); err == nil || !strings.Contains(err.Error(), "--data names the database") {
		t.Errorf("a database that is not there: %v", err)
	}
	if _, err := os.Stat(path + ".not"); err == nil {
		t.Error("looking made a database")
	}
}

// TestUnreadableRecordOfADatabase wants a record that cannot be read to be named,
// and the rest to be written.
func TestUnreadableRecordOfADatabase(t *testing.T) {
	t.Parallel()
	path := shopFile(t, true)
	const named = "parts SH-POM cannot be read"
	if _, errs, err := kerfbook(t, "", "check", "--data", path, "--day", "2026-11-25"); err == nil || !strings.Contains(errs, named) {
		t.Errorf("check: %v\n%s", err, errs)
	}
	out, errs, err := kerfbook(t, "", "export", "book", "--data", path)
	if err != nil || !strings.Contains(out, "# "+named) || !strings.Contains(errs, named) {
		t.Errorf("export: %v\n%s\n%.200s", err, errs, out)
	}
	if out, _, err := kerfbook(t, "", "export", "csv", "--data", path, "--mix", "glow=100", "--day", "2026-11-25"); err != nil || !strings.Contains(out, "variant/glow/") {
		t.Errorf("figures that do not rest on it: %v", err)
	}
}

// TestStartNamesUnreadableRecords wants a server to say at its start which records
// it cannot read.
func TestStartNamesUnreadableRecords(t *testing.T) {
	t.Parallel()
	path := shopFile(t, true)
	ctx, stop := context.WithCancel(t.Context())
	out, log := &lines{link: make(chan string, 1)}, &lines{}
	ended := make(chan error, 1)
	go func() {
		ended <- run(ctx, []string{"serve", "--data", path, "--listen", "127.0.0.1:0", "--log-level", "info"}, strings.NewReader(""), out, log)
	}()
	select {
	case <-out.link:
	case err := <-ended:
		t.Fatal(err)
	}
	stop()
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"a stored record cannot be read"`, "parts SH-POM", `"cannot_be_read":1`} {
		if !strings.Contains(log.text.String(), want) {
			t.Errorf("the log lacks %s: %s", want, log.text.String())
		}
	}
}
