package answer

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/testdata"
)

// TestAnotherQuantityOverSharedStock: what was built for one quantity answers for another
// as what is built for that: every figure with its proof, and the workbook with the checks
// of what its layout holds for.
func TestAnotherQuantityOverSharedStock(t *testing.T) {
	t.Parallel()
	b := booktest.Read(t, []byte(booktest.SharedStock))
	used, day := Of(b), bom.Date("2026-11-25")
	for _, quantity := range []string{"8", "37", "5"} {
		mix, err := ParseMix(b, "only="+quantity)
		if err != nil {
			t.Fatal(err)
		}
		got, err := used.CostWorkbook(t.Context(), mix, day)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Of(b).CostWorkbook(t.Context(), mix, day)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s pieces: the workbook is another than that of a batch built for them", quantity)
		}
		for _, key := range []string{"stock/BAR/shared/pieces", "variant/only/each/full"} {
			if a, b := explained(t, used, mix, day, key), explained(t, Of(b), mix, day, key); a != b {
				t.Errorf("%s pieces: %s is explained as\n%s\nand when built for them as\n%s", quantity, key, a, b)
			}
		}
	}
}

// TestLimitsSayWhatWasDone: a check of a limit that does not hold says what was limited,
// and what the figures are those of.
func TestLimitsSayWhatWasDone(t *testing.T) {
	t.Parallel()
	slow := booktest.Replaced(t, string(testdata.Demo), []string{"spindle_max_per_min: 18000", "spindle_max_per_min: 3000"})
	sheet, err := Of(booktest.Read(t, []byte(slow))).Sheet(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	limited := 0
	for _, f := range sheet.read().failedChecks() {
		if strings.HasSuffix(f.Key, "/spindle-free") {
			limited++
			if !strings.HasPrefix(f.Message, "the highest speed of the spindle limits ") || !strings.HasSuffix(f.Message, ": the minutes are those of that speed") {
				t.Errorf("%s: %s", f.Key, f.Message)
			}
		}
	}
	if limited == 0 {
		t.Error("nothing is limited")
	}
}

func explained(t *testing.T, o Origin, mix []estimate.MixLine, day bom.Date, key string) string {
	t.Helper()
	sheet, err := o.Sheet(t.Context(), mix, day)
	if err != nil {
		t.Fatal(err)
	}
	step, err := sheet.Explain(key, 9)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(step)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
