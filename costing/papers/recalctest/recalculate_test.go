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

// chain is a workbook of a start, n steps of 1 and their running sums.
func chain(t testing.TB, start int64, n int) []byte {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().In("chain")
	sum := s.Input("start", "start", graph.Plain, decimal.New(start, 0))
	for i := range n {
		x := s.Input(fmt.Sprintf("x%d", i), "step", graph.Plain, decimal.New(1, 0))
		sum = s.Add(fmt.Sprintf("sum%d", i), "sum", sum, x)
	}
	m, err := workbook.Build(graphtest.Built(t, b), nil)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := costbook.Write(&out, m, costbook.Meta{Title: "Chain", Day: "2026-09-01"}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A stored result is no answer: one that was tampered with must not come back.
func TestRecalculateIgnoresStoredResults(t *testing.T) {
	t.Parallel()
	for i, file := range recalctest.Convert(t, "xlsx", chain(t, 10, 300), chain(t, 20, 300)) { // now with results
		named, err := recalctest.Inspect(file)
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprint(310 + 10*i); named["_chain_sum299"].Value != want {
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
