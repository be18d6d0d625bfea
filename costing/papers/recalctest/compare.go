package recalctest

import (
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
)

// Compare holds every figure of a workbook to its exact value, as recalculated:
// one without a value must show an error.
func Compare(t testing.TB, g *graph.Graph, m *workbook.Model, values workbook.Values, cells map[string]string) {
	t.Helper()
	seen := map[graph.ID]bool{}
	for _, s := range m.Sheets {
		for _, r := range s.Rows {
			if r.Name == "" || r.ID == graph.None {
				continue
			}
			seen[r.ID] = true
			want, ok := values.Raw(r.ID)
			if !ok && !IsError(cells[r.Name]) {
				t.Errorf("%s = %s: got %s, want an error value", r.Key, r.Formula, cells[r.Name])
			} else if ok {
				if err := Agrees(cells[r.Name], want); err != nil {
					t.Errorf("%s = %s: %v", r.Key, r.Formula, err)
				}
			}
		}
	}
	for id := range graph.ID(g.Len()) {
		if !seen[id] {
			t.Errorf("%s has no cell", g.Node(id).Key)
		}
	}
}
