package graph_test

import (
	"testing"

	"kerfbook/costing/graph"
)

func TestOperationNames(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for op := range graph.OpCount {
		if name := op.String(); name == "" || seen[name] {
			t.Errorf("operation %d is called %q", op, name)
		}
		seen[op.String()] = true
	}
	if graph.OpCount.String() != "unknown operation" {
		t.Errorf("an unknown operation is called %q", graph.OpCount)
	}
}

func TestComparisons(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		compare       graph.Comparison
		symbol, words string
		holds         string // for −1, 0, 1
	}{
		{graph.Less, "<", "is less than", "yes no no"},
		{graph.LessOrEqual, "<=", "is at most", "yes yes no"},
		{graph.Equal, "=", "equals", "no yes no"},
		{graph.GreaterOrEqual, ">=", "is at least", "no yes yes"},
		{graph.Greater, ">", "is more than", "no no yes"},
		{graph.NotEqual, "<>", "differs from", "yes no yes"},
	} {
		holds := ""
		for _, sign := range []int{-1, 0, 1} {
			if c.compare.Holds(sign) {
				holds += "yes "
			} else {
				holds += "no "
			}
		}
		if holds != c.holds+" " || c.compare.Symbol() != c.symbol || c.compare.Words() != c.words {
			t.Errorf("%s (%s): %s", c.compare.Symbol(), c.compare.Words(), holds)
		}
	}
}
