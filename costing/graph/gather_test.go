package graph_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/proof"
)

// bench is the time of so many operations 10, 20, … at a bench, ⅓, ⅔, … minutes each,
// summed and squared in the order given.
func bench(t *testing.T, order []int) (*graph.Graph, []graph.ID) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	three := s.Fixed("three", "three", graph.Plain, decimal.New(3, 0), "definition")
	times := make([]graph.ID, len(order))
	for i := range order {
		at := s.In("op", fmt.Sprint(10*(i+1))).Of(fmt.Sprint("shade, operation ", 10*(i+1)))
		times[i] = at.Divide("time", "time", at.Input("thirds", "thirds", graph.Minute, decimal.New(int64(i+1), 0)), three)
	}
	var terms, pairs []graph.ID
	for _, i := range order {
		terms, pairs = append(terms, times[i]), append(pairs, times[i], times[i])
	}
	at := s.In("bench").Of("bench")
	out := []graph.ID{at.Add("sum", "time at the bench", terms...), at.SumProducts("squares", "squares", pairs...),
		at.Minimum("shortest", "shortest time", terms...), at.Maximum("longest", "longest time", terms...)}
	return graphtest.Built(t, b), out
}

// TestAnyWidth: no figure is of more than a person reads at once, and neither figures
// nor keys depend on the order of the terms once there are more.
func TestAnyWidth(t *testing.T) {
	t.Parallel()
	for _, n := range []int{61, 777, 3700} {
		order := make([]int, n)
		for i := range order {
			order[i] = i
		}
		g, ids := bench(t, order)
		slices.Reverse(order)
		turned, _ := bench(t, order)
		v, w := graphtest.Evaluated(t, g), graphtest.Evaluated(t, turned)
		for id := range graph.ID(g.Len()) {
			node := g.Node(id)
			if most := 60; len(node.Args) > most && !(node.Op == graph.SumProducts && len(node.Args) <= 2*most) {
				t.Errorf("%s has %d arguments", node.Key, len(node.Args))
			}
			a, _ := v.Get(id)
			b, _ := w.Get(id)
			if other := turned.Node(id); other.Key != node.Key || other.Label != node.Label || !a.Equal(b) {
				t.Errorf("the order of the terms makes %s, %s of %s, %s", other.Key, b, node.Key, a)
			}
		}
		third := func(id graph.ID) decimal.Decimal {
			d, err := v.Get(id)
			if err != nil {
				t.Fatal(err)
			}
			return d.Mul(decimal.New(3, 0)).Round(20)
		}
		m := int64(n)
		for id, want := range map[graph.ID]int64{ids[0]: m * (m + 1) / 2, ids[2]: 1, ids[3]: m} {
			if got := third(id); !got.Equal(decimal.New(want, 0)) {
				t.Errorf("three times %s of %d terms is %s, want %d", g.Node(id).Key, n, got, want)
			}
		}
	}
}

// TestWideSumInWords: each part of a wide sum says which terms it takes, in the order
// of people.
func TestWideSumInWords(t *testing.T) {
	t.Parallel()
	order := make([]int, 150)
	for i := range order {
		order[i] = i
	}
	g, ids := bench(t, order)
	step := proof.Explain(g, graphtest.Evaluated(t, g), ids[0], 1)
	const want = "time at the bench, from shade, operation 10 to shade, operation 500 + " +
		"time at the bench, from shade, operation 510 to shade, operation 1000 + " +
		"time at the bench, from shade, operation 1010 to shade, operation 1500"
	if step.How != want || step.Steps[1].Key != "bench/sum-part-2" {
		t.Errorf("%s is %s", step.Key, step.How)
	}
	if how := strings.Split(step.Steps[0].How, " + "); len(how) != 50 || how[1] != "time (shade, operation 20)" {
		t.Errorf("its first part is %s", how)
	}
}
