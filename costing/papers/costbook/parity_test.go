package costbook_test

import (
	"bytes"
	"slices"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
)

func written(t testing.TB, m *workbook.Model, meta costbook.Meta) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := costbook.Write(&out, m, meta); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// agree holds a recalculated cell to a number, or to an error for "undefined".
func agree(t *testing.T, what, cell, want string) {
	t.Helper()
	if want == graphtest.Undefined {
		if !recalctest.IsError(cell) {
			t.Errorf("%s: got %s, want an error value", what, cell)
		}
	} else if err := recalctest.Agrees(cell, decimal.RequireFromString(want)); err != nil {
		t.Errorf("%s: %v", what, err)
	}
}

// allCases puts the cases of the table into one graph, each under a key of its
// own. Those that rest on more digits than a binary number holds are left out.
func allCases(t *testing.T) (*graph.Graph, []graphtest.Case, [][]graph.ID) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	cases := slices.DeleteFunc(graphtest.Cases(), func(c graphtest.Case) bool { return c.Precise })
	out := make([][]graph.ID, len(cases))
	for i, c := range cases {
		out[i] = c.In(b, "case", strconv.Itoa(i))
	}
	g := graphtest.Built(t, b)
	return g, cases, out
}

func TestEveryCaseRecalculates(t *testing.T) {
	t.Parallel()
	g, cases, out := allCases(t)
	got := recalctest.Graphs(t, g)[0]
	for i, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			for j, want := range c.Want {
				agree(t, "output "+strconv.Itoa(j), got[out[i][j]], want)
			}
		})
	}
	t.Logf("%d cases, %d nodes", len(cases), g.Len())
}
