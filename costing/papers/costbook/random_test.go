package costbook_test

import (
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/papers/recalctest"
)

// TestRandomGraphsRecalculate compares every figure of random graphs, not only
// their ends, with the exact figures.
func TestRandomGraphsRecalculate(t *testing.T) {
	t.Parallel()
	const graphs, size = 8, 400
	gs := make([]*graph.Graph, graphs)
	for seed := range gs {
		gs[seed] = graphtest.Random(uint64(seed), size)
	}
	for i, figures := range recalctest.Graphs(t, gs...) {
		recalctest.Compare(t, gs[i], figures)
	}
}
