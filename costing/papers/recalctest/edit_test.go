package recalctest_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
)

// chain is a workbook of n inputs and their running sums, the cell of a sum
// being 1 more than the one before it.
func chain(t testing.TB, n int) []byte {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().In("chain")
	sum := s.Input("start", "start", graph.Plain, decimal.New(1, 0))
	for i := range n {
		x := s.Input(fmt.Sprintf("x%d", i), "step", graph.Plain, decimal.New(1, 0))
		sum = s.Add(fmt.Sprintf("sum%d", i), "sum", sum, x)
	}
	g := graphtest.Built(t, b)
	m, err := workbook.Build(g, nil, []graph.ID{sum})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := costbook.Write(&out, m, costbook.Meta{Title: "Chain", Day: "2026-09-01"}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestEditChangesOneCell(t *testing.T) {
	t.Parallel()
	file := chain(t, 5)
	edited, err := recalctest.Edit(file, "_chain_x3", "-2.5")
	if err != nil {
		t.Fatal(err)
	}
	before, err := recalctest.Inspect(file)
	if err != nil {
		t.Fatal(err)
	}
	after, err := recalctest.Inspect(edited)
	if err != nil {
		t.Fatal(err)
	}
	if len(before) != 11 || len(after) != len(before) {
		t.Fatalf("%d and %d names, want 11", len(before), len(after))
	}
	for name, cell := range before {
		if name == "_chain_x3" {
			cell.Value = "-2.5"
		}
		if after[name] != cell {
			t.Errorf("%s: %+v, want %+v", name, after[name], cell)
		}
	}
}

func TestEditRefusesWhatIsNoInput(t *testing.T) {
	t.Parallel()
	file := chain(t, 2)
	for _, c := range []struct{ name, value string }{
		{"_chain_sum1", "1"}, {"_chain", "1"}, {"_chain_x", "1"}, {"", "1"}, {"_chain_x1", ""}, {"_chain_x1", "1<"}, {"_chain_x1", "1e3"},
	} {
		if _, err := recalctest.Edit(file, c.name, c.value); err == nil {
			t.Errorf("Edit(%q, %q) passes", c.name, c.value)
		}
	}
	if _, err := recalctest.Edit([]byte("no workbook"), "_chain_x1", "1"); err == nil {
		t.Error("Edit takes what is no workbook")
	}
}

// A stored result is no answer: one that was tampered with must not come back.
func TestRecalculateIgnoresStoredResults(t *testing.T) {
	t.Parallel()
	file := chain(t, 300)
	first := recalctest.Recalculate(t, file)[0]
	if got := first["_chain_sum299"]; got != "301" {
		t.Fatalf("sum %s, want 301", got)
	}
	edited := make([][]byte, 3)
	for i := range edited {
		var err error
		if edited[i], err = recalctest.Edit(file, "_chain_start", fmt.Sprint(10*(i+1))); err != nil {
			t.Fatal(err)
		}
	}
	stored := recalctest.Convert(t, "xlsx", edited...) // now with results
	for i, file := range stored {
		named, err := recalctest.Inspect(file)
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprint(300 + 10*(i+1)); named["_chain_sum299"].Value != want {
			t.Errorf("file %d: %s, want %s", i, named["_chain_sum299"].Value, want)
		}
		bare, err := recalctest.Strip(file)
		if err != nil {
			t.Fatal(err)
		}
		if named, err = recalctest.Inspect(bare); err != nil || named["_chain_sum299"].Value != "" || named["_chain_start"].Value == "" {
			t.Errorf("file %d stripped: %+v, %v", i, named["_chain_sum299"], err)
		}
	}
}

func BenchmarkEdit(b *testing.B) {
	file := chain(b, 5000)
	for b.Loop() {
		if _, err := recalctest.Edit(file, "_chain_x4000", "2"); err != nil {
			b.Fatal(err)
		}
	}
}
