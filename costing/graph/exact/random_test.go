package exact_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

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

// TestPinsReachWhatRestsOnThem evaluates what pins reach, and all again: every digit, every
// cause and every error is the same, also where the graph as it is has no figures.
func TestPinsReachWhatRestsOnThem(t *testing.T) {
	t.Parallel()
	reached, failed := 0, 0
	for seed := range depth.Seeds(150) {
		rnd := rand.New(rand.NewPCG(seed, 31))
		g := graphtest.Random(seed, 300)
		e := exact.New(g)
		for range 24 {
			pins := exact.Pins{}
			for range 1 + rnd.IntN(3) {
				pins[graph.ID(rnd.IntN(100))] = decimal.New(rnd.Int64N(1+rnd.Int64N(2000))-rnd.Int64N(3), -int32(rnd.IntN(4)))
			}
			want, wantErr := exact.Evaluate(g, pins)
			got, err := e.Evaluate(pins)
			if fmt.Sprint(err) != fmt.Sprint(wantErr) {
				t.Fatalf("seed %d: %v, all again %v", seed, err, wantErr)
			}
			if err != nil {
				failed++
				continue
			}
			before, _ := e.Evaluate(nil)
			for id := range graph.ID(g.Len()) {
				a, errA := got.Get(id)
				b, errB := want.Get(id)
				if fmt.Sprint(a.Coefficient(), a.Exponent(), errA) != fmt.Sprint(b.Coefficient(), b.Exponent(), errB) {
					t.Fatalf("seed %d: %s is %v %v, all again %v %v", seed, g.Key(id), a, errA, b, errB)
				}
				if before != nil && !got.Same(before, id) {
					reached++
				}
			}
		}
	}
	if reached < 1000 || failed == 0 {
		t.Errorf("%d figures were reached and %d evaluations failed: too few to tell", reached, failed)
	}
}
