package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestPeopleByCommand adds somebody, makes a link for them, and finds them in a backup that was
// restored; a change says why it was made.
func TestPeopleByCommand(t *testing.T) {
	t.Parallel()
	data := shopFile(t, false)
	does := func(want string, args ...string) {
		t.Helper()
		out, errs, err := kerfbook(t, "", args...)
		if err != nil || !strings.Contains(out, want) {
			t.Errorf("%v: %s%s, %v", args, out, errs, err)
		}
	}
	refuses := func(want string, args ...string) {
		t.Helper()
		if _, errs, err := kerfbook(t, "", args...); err == nil || !strings.Contains(errs+err.Error(), want) {
			t.Errorf("%v: %s, %v", args, errs, err)
		}
	}
	does("nobody by name", "people", "--data", data)
	refuses("nobody called Rita", "people", "Rita", "--data", data)
	does("Ana: all", "people", "Ana", "--role", "all", "--data", data)
	does("Rita: quotes", "people", "Rita", "--role", "quotes", "--data", data)
	does("Paste this code", "link", "--person", "Rita", "--data", data)
	does("Rita Reis: quotes, shut out on ", "people", "Rita", "--rename", "Rita Reis", "--shut-out", "--data", data)
	refuses("Rita Reis is shut out", "link", "--person", "Rita Reis", "--data", data)
	refuses("last person with all rights", "people", "Ana", "--role", "quotes", "--data", data)
	refuses("opposites", "people", "Ana", "--shut-out", "--let-in", "--data", data)
	supplier := write(t, "records: {suppliers: [{id: NOVA, name: Nova}]}\n")
	does("saved suppliers/NOVA", "save", supplier, "--reason", "asked by Ana", "--data", data)
	refuses("the reason must be one line", "save", write(t, "records: {suppliers: [{id: NOVA, name: other}]}\n"), "--reason", "two\nlines", "--data", data)
	copied, restored := filepath.Join(t.TempDir(), "copy.db"), filepath.Join(t.TempDir(), "again.db")
	does("wrote", "backup", copied, "--data", data)
	does("restored", "restore", copied, "--data", restored)
	does("Rita Reis: quotes\n", "people", "Rita Reis", "--let-in", "--data", restored)
	does("hold together", "audit", "verify", "--data", restored)
}
