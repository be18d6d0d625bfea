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

// file prints a graph and writes it.
func file(t testing.TB, g *graph.Graph, values workbook.Values, headline ...graph.ID) (*workbook.Model, []byte) {
	t.Helper()
	m, err := workbook.Build(g, values, headline)
	if err != nil {
		t.Fatal(err)
	}
	return m, written(t, m, costbook.Meta{Title: "Test", Day: "2026-09-01"})
}

func written(t testing.TB, m *workbook.Model, meta costbook.Meta) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := costbook.Write(&out, m, meta); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// nameOf gives the name of a node's cell.
func nameOf(t testing.TB, m *workbook.Model, id graph.ID) string {
	t.Helper()
	for _, s := range m.Sheets {
		for _, r := range s.Rows {
			if r.ID == id && r.Name != "" {
				return r.Name
			}
		}
	}
	t.Fatalf("node %d has no cell", id)
	return ""
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
	m, data := file(t, g, nil)
	got := recalctest.Recalculate(t, data)[0]
	for i, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			for j, want := range c.Want {
				cell := got[nameOf(t, m, out[i][j])]
				if want == graphtest.Undefined {
					if !recalctest.IsError(cell) {
						t.Errorf("output %d: got %s, want an error value", j, cell)
					}
				} else if err := recalctest.Agrees(cell, decimal.RequireFromString(want)); err != nil {
					t.Errorf("output %d: %v", j, err)
				}
			}
		})
	}
	t.Logf("%d cases, %d nodes", len(cases), g.Len())
}
