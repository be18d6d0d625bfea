package costbook_test

import (
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/recalctest"
)

// TestRandomGraphsRecalculate compares every figure of random graphs, not only
// their ends, with the exact figures.
func TestRandomGraphsRecalculate(t *testing.T) {
	t.Parallel()
	const graphs, size = 8, 400
	var gs []*graph.Graph
	var ms []*workbook.Model
	var files [][]byte
	for seed := range uint64(graphs) {
		g := graphtest.Random(seed, size)
		m, data := file(t, g, nil)
		gs, ms, files = append(gs, g), append(ms, m), append(files, data)
	}
	for i, got := range recalctest.Recalculate(t, files...) {
		values, err := exact.Evaluate(gs[i], nil)
		if err != nil {
			t.Fatal(err)
		}
		compareAll(t, gs[i], ms[i], values, got)
	}
}

// compareAll compares every named figure of a model.
func compareAll(t *testing.T, g *graph.Graph, m *workbook.Model, values workbook.Values, got map[string]string) {
	t.Helper()
	seen := make([]bool, g.Len())
	for _, s := range m.Sheets {
		for _, r := range s.Rows {
			if r.Name == "" || r.ID == graph.None {
				continue
			}
			seen[r.ID] = true
			want, ok := values.Raw(r.ID)
			switch {
			case !ok && !recalctest.IsError(got[r.Name]):
				t.Errorf("%s = %s: got %s, want an error value", r.Key, r.Formula, got[r.Name])
			case ok:
				if err := recalctest.Agrees(got[r.Name], want); err != nil {
					t.Errorf("%s = %s: %v", r.Key, r.Formula, err)
				}
			}
		}
	}
	for id, ok := range seen {
		if !ok {
			t.Errorf("%s has no cell", g.Node(graph.ID(id)).Key)
		}
	}
}
