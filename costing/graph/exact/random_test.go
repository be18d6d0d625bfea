package exact_test

import (
	"fmt"
	"math"
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/testdata/depth"
)

// TestRandom compares with the estimates of the graphs' maker: two computations
// that share nothing.
func TestRandom(t *testing.T) {
	t.Parallel()
	for seed := range depth.Seeds(150) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			g, estimates := graphtest.RandomEstimated(seed, 300)
			v := graphtest.Evaluated(t, g)
			compareEstimates(t, g, v, estimates)
		})
	}
}

func compareEstimates(t *testing.T, g *graph.Graph, v *exact.Values, estimates []float64) {
	t.Helper()
	undefined := 0
	for i, est := range estimates {
		n := g.Node(graph.ID(i))
		d, ok := v.Raw(graph.ID(i))
		if ok == math.IsNaN(est) {
			t.Fatalf("%s (%s) of %v: defined %v, estimate %v", n.Key, n.Op, n.Args, ok, est)
		}
		if !ok {
			undefined++
			continue
		}
		got := d.InexactFloat64()
		if math.Abs(got-est) > 1e-8*math.Max(1, math.Abs(est)) {
			t.Fatalf("%s (%s) of %v is %v, estimate %v", n.Key, n.Op, n.Args, d, est)
		}
	}
	if undefined > len(estimates)/5 {
		t.Errorf("%d of %d figures are undefined", undefined, len(estimates))
	}
}
