package costbook_test

import (
	"testing"

	"kerfbook/costing/graph"
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
		recalctest.Compare(t, gs[i], ms[i], graphtest.Evaluated(t, gs[i]), got)
	}
}
