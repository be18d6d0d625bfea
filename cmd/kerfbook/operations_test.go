package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kerfbook/testdata"
)

// featuresFile is a file of the book whose parts are described by features.
func featuresFile(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "features.yaml")
	if err := os.WriteFile(name, testdata.Features, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// TestOperationsByTable exports the operations of a part, changes a dimension in the
// table, and takes it in again: into a new book, never into the old one.
func TestOperationsByTable(t *testing.T) {
	t.Parallel()
	book := featuresFile(t)
	const day = "2026-11-25"
	table := mustRun(t, "export", "operations", book, "--part", "HS-110", "--day", day, "--plain")
	if !strings.HasPrefix(table, "operation,feature,characteristic,name,") || strings.Count(table, "\r\n") != 13 {
		t.Errorf("the table is\n%s", table)
	}
	before := mustRun(t, "import", book, "HS-110", write(t, table), "--day", day)
	if !strings.Contains(before, "slot_width_mm: 1") {
		t.Errorf("the part is\n%s", before)
	}
	thinner := write(t, strings.Replace(table, ",1,1,yes", ",1,0.6,yes", 1))
	fresh := filepath.Join(t.TempDir(), "thin.yaml")
	_, said, err := kerfbook(t, "", "import", book, "HS-110", thinner, "--day", day, "-o", fresh)
	if err != nil || said != "changed parts/HS-110\n  routing[20].features[FINS].fin_width_mm: 1 → 0.6\n0 records as before\n" {
		t.Errorf("%q, %v", said, err)
	}
	if was, is := mustRun(t, "price", book, "--day", day, "--json"), mustRun(t, "price", fresh, "--day", day, "--json"); was == is {
		t.Error("thinner fins cost the same")
	}
	if now, err := os.ReadFile(book); err != nil || string(now) != string(testdata.Features) {
		t.Errorf("the old book is another now, %v", err)
	}
}

func write(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "table.csv")
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func TestTableFaultsHavePlaces(t *testing.T) {
	t.Parallel()
	book := featuresFile(t)
	table := "operation,feature,name,kind,work_centre,depth_mm,length_mm,width_mm\n20,,mill,machining,DRILL,,,\n20,P,pocket,pocket,,90,30,20\n20,Q,slot,slot,,x,30,20\n"
	out, said, err := kerfbook(t, table, "import", book, "HS-110", "-", "--day", "2026-11-25")
	if err == nil || out != "" || !strings.Contains(said, `-: line 4, column 6 (depth_mm): "x"`) {
		t.Errorf("%v\n%s", err, said)
	}
	table = strings.Replace(table, "x,30", "4,30", 1)
	_, said, err = kerfbook(t, table, "import", book, "HS-110", "-", "--day", "2026-11-25")
	if err == nil || !strings.Contains(said, "-: line 3, column 6 (depth_mm): 90 has no room") {
		t.Errorf("%v\n%s", err, said)
	}
	_, said, err = kerfbook(t, strings.Replace(table, "90,", "9,", 1), "import", book, "HS-110", "-", "--day", "2026-11-25", "--preview")
	if err != nil || !strings.Contains(said, "-: line 2, column 5 (work_centre): there is no work centre DRILL; no figure") {
		t.Errorf("%v\n%s", err, said)
	}
	if _, _, err := kerfbook(t, "", "import", "-", "HS-110", "-"); err == nil || !strings.Contains(err.Error(), "standard input") {
		t.Error(err)
	}
	if _, _, err := kerfbook(t, table, "import", book, "HS-111", "-", "--day", "2026-11-25"); err == nil || !strings.Contains(err.Error(), "there is no part HS-111") {
		t.Error(err)
	}
	if _, _, err := kerfbook(t, "", "export", "operations", book, "--day", "2026-11-25"); err == nil || !strings.Contains(err.Error(), "--part") {
		t.Error(err)
	}
}

// TestUnusedOverrideIsAWarning: check warns of a number that stands in the place of
// no figure, and lets the book pass.
func TestUnusedOverrideIsAWarning(t *testing.T) {
	t.Parallel()
	text := string(testdata.Features) + `overrides:
  - {id: used, figure: part/HS-110/op/20/cutting, value: 20, unit: min/piece, reason: timed on the first ten, from: 2026-10-01}
  - {id: lost, figure: part/HS-110/op/21/cutting, value: 20, unit: min/piece, reason: wrong key, from: 2026-10-01}
  - {id: later, figure: part/HS-110/op/22/cutting, value: 20, unit: min/piece, reason: not yet, from: 2027-10-01}
`
	_, said, err := kerfbook(t, text, "check", "-", "--day", "2026-11-25")
	if err != nil || strings.Count(said, "warning: ") != 1 || !strings.Contains(said, "no trim has a computed figure with the key part/HS-110/op/21/cutting, so this override is not used; there is part/") {
		t.Errorf("%v\n%s", err, said)
	}
	tree, _, err := kerfbook(t, text, "explain", "-", "part/HS-110/op/20/cutting", "--mix", "bare=100", "--day", "2026-11-25")
	for _, want := range []string{"= 20 min/piece", "entered in place of the computed figure", "timed on the first ten, since 2026-10-01", "the computed figure is kept; explain part/HS-110/op/20/cutting/computed"} {
		if err != nil || !strings.Contains(tree, want) {
			t.Errorf("%v: the proof lacks %q:\n%s", err, want, tree)
		}
	}
	prices, _, err := kerfbook(t, text, "price", "-", "--quantities", "100", "--day", "2026-11-25")
	if err != nil || !strings.Contains(prices, "cutting time per piece of heat sink, operation 20 is entered, since 2026-10-01: timed on the first ten (20 min/piece in place of ") {
		t.Errorf("%v\n%s", err, prices)
	}
	if _, said, err := kerfbook(t, strings.Replace(text, "op/21/cutting, value", "op/20/handling, value", 1), "check", "-", "--day", "2026-11-25"); err == nil || !strings.Contains(said, "change the input itself") {
		t.Errorf("%v\n%s", err, said)
	}
}

// TestExportWithOtherMarks: a table goes out with semicolons and decimal commas, and
// comes back as it was.
func TestExportWithOtherMarks(t *testing.T) {
	t.Parallel()
	out := mustRun(t, "export", "operations", "demo", "--part", "HS-010", "--csv-separator", ";", "--csv-decimal", ",", "--plain")
	if !strings.Contains(out, "operation;feature;characteristic;name") || !strings.Contains(out, ";0,9;") {
		t.Errorf("the table is\n%s", out)
	}
	back, errs, err := kerfbook(t, out, "import", "demo", "HS-010", "-")
	want, _, _ := kerfbook(t, mustRun(t, "export", "operations", "demo", "--part", "HS-010"), "import", "demo", "HS-010", "-")
	if err != nil || back != want {
		t.Errorf("it comes back changed: %v\n%s", err, errs)
	}
	figures := mustRun(t, "export", "csv", "demo", "--day", "2026-11-25", "--mix", "plain=100", "--csv-separator", "tab", "--csv-decimal", ",", "--plain")
	if !strings.Contains(figures, "\t0,11\t") {
		t.Errorf("the figures lack a decimal comma:\n%.2000s", figures)
	}
	for _, args := range [][]string{{"--csv-decimal", ","}, {"--csv-separator", "|"}} {
		_, _, err := kerfbook(t, "", append([]string{"export", "operations", "demo", "--part", "HS-010"}, args...)...)
		var usage *usageError
		if !errors.As(err, &usage) {
			t.Errorf("%v: %v", args, err)
		}
	}
}

// TestRecordsByTable exports a kind of record, changes a price in the table and takes it in:
// the rest of the book stays as its author wrote it, byte for byte.
func TestRecordsByTable(t *testing.T) {
	t.Parallel()
	const day = "2026-11-25"
	for _, flags := range [][]string{{}, {"--plain"}, {"--csv-separator", ";", "--csv-decimal", ","}} {
		table := mustRun(t, append([]string{"export", "records", "demo", "--kind", "suppliers", "--day", day}, flags...)...)
		if same := mustRun(t, "import", "demo", "suppliers", write(t, table), "--day", day); same != string(testdata.Demo) {
			t.Errorf("%v: a table of the same gives another book", flags)
		}
	}
	table := "id;name\nPLACA;Placas Novas\n"
	out, said, err := kerfbook(t, table, "import", "demo", "suppliers", "-", "--day", day)
	if want := strings.Replace(string(testdata.Demo), "Placas Zurbeiro", "Placas Novas", 1); err != nil || out != want || said != "changed suppliers/PLACA\n  name: Placas Zurbeiro → Placas Novas\n0 records as before\n" {
		t.Errorf("%q, %v", said, err)
	}
	_, said, err = kerfbook(t, "id;name;nme\n", "import", "demo", "suppliers", "-", "--day", day)
	if err == nil || !strings.Contains(said, "-: line 1, column 3 (nme): there is no column of this name; did you mean name?") {
		t.Errorf("%q, %v", said, err)
	}
	if _, _, err := kerfbook(t, "", "export", "records", "demo", "--kind", "supliers", "--day", day); err == nil || !strings.Contains(err.Error(), "did you mean suppliers?") {
		t.Error(err)
	}
}
