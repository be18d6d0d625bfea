package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kerfbook/testdata"
)

// TestMissingWage leaves the wage of the assembly bench out of the demo: the cost of
// every trim is at least something, its prices are withheld, and the wage is named
// once for each table. With a written 0 all is priced.
func TestMissingWage(t *testing.T) {
	t.Parallel()
	const wage = "machine_rate_per_h: 2.20, labour_rate_per_h: 19.50"
	write := func(name, rates string) string {
		if !bytes.Contains(testdata.Demo, []byte(wage)) {
			t.Fatalf("the demo does not hold %q", wage)
		}
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, bytes.Replace(testdata.Demo, []byte(wage), []byte(rates), 1), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	without := write("without.yaml", "machine_rate_per_h: 2.20")
	out, errs, err := kerfbook(t, "", "check", without, "--day", "2026-11-25")
	if err == nil || exitCode(err) != 3 || !strings.Contains(errs, "gap: wage of BENCH is missing") || !strings.Contains(out, "not counted") {
		t.Errorf("check: %v\n%s%s", err, out, errs)
	}
	out, _, err = kerfbook(t, "", "price", without, "--day", "2026-11-25", "--quantities", "100", "--trims", "plain")
	if err == nil || exitCode(err) != 3 {
		t.Errorf("price: %v", err)
	}
	for _, want := range []string{"  100       48.87  at least 46.41     3.22  at least 98.51  at least 111.53      withheld  withheld      withheld  withheld",
		"gap: wage of BENCH is missing", "  blank: wage of BENCH is missing [work_centres[3].labour_rate_per_h]"} {
		if strings.Count(out, want) != 1 {
			t.Errorf("price says %d times %q\n%s", strings.Count(out, want), want, out)
		}
	}
	explained := mustRun(t, "explain", without, "variant/plain/each/full", "--day", "2026-11-25", "--mix", "plain=100", "--depth", "0")
	if !strings.Contains(explained, "= at least 111.52") || !strings.Contains(explained, ", without: wage of BENCH") {
		t.Errorf("explain: %s", explained)
	}
	if _, _, err := kerfbook(t, "", "export", "workbook", without, "--day", "2026-11-25"); err == nil || !strings.Contains(err.Error(), "labour_rate_per_h: wage of BENCH is missing") {
		t.Errorf("a workbook in which the wage would count as 0: %v", err)
	}
	if csv := mustRun(t, "export", "csv", without, "--day", "2026-11-25", "--mix", "plain=100"); !strings.Contains(csv, "at least 111.52") {
		t.Error("the CSV does not say what the cost is at least")
	}
	zero := write("zero.yaml", "machine_rate_per_h: 2.20, labour_rate_per_h: 0")
	if out := mustRun(t, "price", zero, "--day", "2026-11-25", "--quantities", "100", "--trims", "plain"); !strings.Contains(out, "  100       48.87   46.41     3.22       98.51     111.53") {
		t.Errorf("with a wage of 0:\n%s", out)
	}
}
