package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kerfbook/testdata"
)

// TestHours: what an hour of each wage comes to, with what it lacks.
func TestHours(t *testing.T) {
	t.Parallel()
	book := filepath.Join(t.TempDir(), "book.yaml")
	wages := "wages:\n  - {id: OWN, name: my own hour, pay_per_year: 30000, on_top: 0.3, hours_per_year: 1000, other_per_year: [{name: rent, amount: 12000}]}\n" +
		"  - {id: HAND, name: hand, pay_per_year: 24000, hours_per_year: 1000}\n"
	text := strings.Replace(string(testdata.Demo), "work_centres:\n", wages+"work_centres:\n", 1)
	if err := os.WriteFile(book, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	out, told, err := kerfbook(t, "", "hours", book)
	if want := "my own hour: 51.00, from 51000.00 a year; at half the hours 102.00\nhand: at least 24.00, from at least 24000.00 a year; at half the hours at least 48.00\n"; out != want || !strings.Contains(told, "on_top") {
		t.Errorf("%q\n%q\n%s, %v", out, want, told, err)
	}
}
