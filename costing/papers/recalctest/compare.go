package recalctest

import (
	"bytes"
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
)

// Graphs writes a workbook of each graph, with its figures stored, and gives what
// [Recalculate] makes of the figures.
func Graphs(t testing.TB, graphs ...*graph.Graph) []map[graph.ID]string {
	t.Helper()
	models, files := make([]*workbook.Model, len(graphs)), make([][]byte, len(graphs))
	for i, g := range graphs {
		values, err := exact.Evaluate(g, nil)
		if err != nil {
			t.Fatal(err)
		}
		if models[i], err = workbook.Build(g, values); err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := costbook.Write(&out, models[i], costbook.Meta{Title: "Test", Day: "2026-09-01"}); err != nil {
			t.Fatal(err)
		}
		files[i] = out.Bytes()
	}
	figures := make([]map[graph.ID]string, len(graphs))
	for i, cells := range Recalculate(t, files...) {
		figures[i] = map[graph.ID]string{}
		for _, s := range models[i].Sheets {
			for _, r := range s.Rows {
				if text, named := cells[r.Name]; named && r.ID != graph.None {
					figures[i][r.ID] = text
				}
			}
		}
	}
	return figures
}

// Compare holds every figure of a graph, as recalculated, to its exact value: one
// without a value must show an error.
func Compare(t testing.TB, g *graph.Graph, figures map[graph.ID]string) {
	t.Helper()
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	for id := range graph.ID(g.Len()) {
		want, ok := values.Raw(id)
		if got := figures[id]; !ok && !IsError(got) {
			t.Errorf("%s: got %q, want an error value", g.Node(id).Key, got)
		} else if ok {
			if err := Agrees(got, want); err != nil {
				t.Errorf("%s: %v", g.Node(id).Key, err)
			}
		}
	}
}
