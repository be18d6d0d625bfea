package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kerfbook/api/answer/change"
	"kerfbook/costing/book/check"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// bookFile writes the demo book to a file, with replacements.
func bookFile(t *testing.T, pairs ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.WriteFile(file, []byte(strings.NewReplacer(pairs...).Replace(string(testdata.Demo))), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestTidyCommand(t *testing.T) {
	t.Parallel()
	file := bookFile(t, "country: \"PT\"\n", "country: \"PT\" # here\n")
	var usage *usageError
	if _, _, err := kerfbook(t, "", "tidy", file, "--check"); err == nil || errors.As(err, &usage) || !strings.Contains(err.Error(), "is not tidy") {
		t.Errorf("--check of a book that is not tidy: %v", err)
	}
	if out := mustRun(t, "tidy", file); out != "" {
		t.Errorf("tidy of a file prints %q", out)
	}
	mustRun(t, "tidy", file, "--check")
	written := string(must(os.ReadFile(file))(t))
	if !strings.HasPrefix(written, "# The book of the fictional Ostrel Workshop") || !strings.Contains(written, "country: \"PT\"  # here\n") {
		t.Errorf("comments are lost:\n%.300s", written)
	}
	if mode := must(os.Stat(file))(t).Mode().Perm(); mode != 0o600 {
		t.Errorf("the file may now be read by others: %o", mode)
	}
	want := mustRun(t, "price", "demo", "--day", "2026-11-25", "--quantities", "50")
	if got := mustRun(t, "price", file, "--day", "2026-11-25", "--quantities", "50"); got != want {
		t.Error("a tidy book has other prices")
	}
	if out := mustRun(t, "tidy", "demo"); out != strings.Replace(written, "  # here", "", 1) {
		t.Error("the demo is tidied otherwise than a file")
	}
	if _, errs, err := kerfbook(t, "name: 1\n", "tidy", "-"); err == nil || !strings.Contains(errs, "-:1:") {
		t.Errorf("a book with faults: %v, %s", err, errs)
	}
}

func TestDifferencesCommand(t *testing.T) {
	t.Parallel()
	other := bookFile(t, "    mass_g: 395", "    mass_g: 400",
		"labour_rate_per_h: 26.00, allowance: 0.12, spindle", "labour_rate_per_h: 28.00, allowance: 0.12, spindle",
		"- {id: ORVENDA, name: Metais Orvenda}", "- {id: NEUWELT, name: Neuwelt} # new\n  - {id: ORVENDA, name: Metais Orvenda e Filhos}")
	golden(t, "differences.txt", mustRun(t, "differences", "demo", other, "--day", "2026-11-25"))
	if out := mustRun(t, "differences", other, other); !strings.Contains(out, "Both books say the same.") {
		t.Errorf("a book and itself: %s", out)
	}
	var back change.BookDifference
	if err := json.Unmarshal([]byte(mustRun(t, "differences", other, "demo", "--day", "2026-11-25", "--quantity", "50", "--json")), &back); err != nil {
		t.Fatal(err)
	}
	for _, r := range back.Records {
		if r.ID == "NEUWELT" && r.Did != "removed" || r.ID == "MILL" && (len(r.Costs) != 3 || r.Fields[0] != text.FieldDifference{Path: "labour_rate_per_h", Before: "28.00", After: "26.00"}) {
			t.Errorf("%+v", r)
		}
	}
	if len(back.Records) != 4 || len(back.Costs) != 3 {
		t.Errorf("%d records, %d costs", len(back.Records), len(back.Costs))
	}
	// what a removal alone leaves without figures is said
	less := bookFile(t, "- {id: GAUGE, ", "- {id: GAUGING, ")
	if out, _, err := kerfbook(t, "", "differences", "demo", less, "--day", "2026-11-25"); !strings.Contains(out, "work_centres GAUGE, measuring room: removed\n") || !strings.Contains(out, "work_centres GAUGING, measuring room: added") {
		t.Errorf("%v\n%s", err, out)
	}
}

func TestCheckAsJSON(t *testing.T) {
	t.Parallel()
	read := func(out string) (found checkOut) {
		t.Helper()
		if err := json.Unmarshal([]byte(out), &found); err != nil {
			t.Fatalf("%v in %s", err, out)
		}
		return found
	}
	if found := read(mustRun(t, "check", "demo", "--json", "--day", "2026-11-25")); found.Book != "Ostrel Workshop" || len(found.Problems) != 0 || len(found.NotCounted) == 0 {
		t.Errorf("%+v", found)
	}
	out, errs, err := kerfbook(t, strings.Replace(string(testdata.Demo), "    mass_g: 395", "    mass_g: -1", 1), "check", "-", "--json")
	if found := read(out); exitCode(err) != 1 || errs != "" || len(found.Problems) != 1 || found.Problems[0].Path != "parts[0].mass_g" || found.Problems[0].Line == 0 || found.Problems[0].Severity != check.Fault {
		t.Errorf("%v, %s, %+v", err, errs, found)
	}
	out, errs, err = kerfbook(t, strings.Replace(string(testdata.Demo), "supplier: DRUSAVEL", "supplier: DRUSAVOL", 1), "check", "-", "--json", "--day", "2026-11-25")
	if found := read(out); exitCode(err) != 3 || errs != "" || len(found.Problems) == 0 || found.Problems[0].Severity != check.Gap {
		t.Errorf("%v, %s, %+v", err, errs, found)
	}
}

// TestMergeMarksAreNamed: what a merge of versions left is said as such, with its lines.
func TestMergeMarksAreNamed(t *testing.T) {
	t.Parallel()
	left := strings.Replace(string(testdata.Demo), "currency: EUR\n", "<<<<<<< HEAD\ncurrency: EUR\n=======\ncurrency: CHF\n>>>>>>> other\n", 1)
	_, errs, err := kerfbook(t, left, "check", "-")
	if err == nil || errs != "-:8:1: a merge of versions left both sides here: <<<<<<< on line 8, ======= on line 10, >>>>>>> on line 12; keep what is to hold and delete these lines\n" {
		t.Errorf("%v: %s", err, errs)
	}
}

// TestImportIntoAFileKeepsIt changes one operation by a table: the rest of the file stays.
func TestImportIntoAFileKeepsIt(t *testing.T) {
	t.Parallel()
	table := mustRun(t, "export", "operations", "demo", "--part", "SH-POM", "--plain")
	file, out := filepath.Join(t.TempDir(), "operations.csv"), filepath.Join(t.TempDir(), "changed.yaml")
	if err := os.WriteFile(file, []byte(strings.Replace(table, "turn inside and outside", "turn it", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "import", "demo", "SH-POM", file, "-o", out)
	want := strings.Replace(string(testdata.Demo), "name: turn inside and outside", "name: turn it", 1)
	if got := string(must(os.ReadFile(out))(t)); got != want {
		t.Errorf("%d bytes, want %d with one line changed", len(got), len(want))
	}
	if got := mustRun(t, "export", "book", "demo"); got != string(testdata.Demo) {
		t.Error("a book that is exported is not as it was")
	}
}
