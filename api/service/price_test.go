package service_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// TestOneBuildServesAllQuantities holds an estimate built once and evaluated at
// another quantity against one built for that quantity, node by node: no
// quantity decides what is built.
func TestOneBuildServesAllQuantities(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	once := must(estimate.Build(b, estimate.NewMix("LAMP", decimal.NewFromInt(1), "plain", "glow", "tune"), day))(t)
	for _, q := range []int64{1, 7, 50, 333, 2000} {
		n := decimal.NewFromInt(q)
		pins := exact.Pins{}
		for _, v := range once.Variants {
			pins[v.Quantity] = n
		}
		again := must(estimate.Build(b, estimate.NewMix("LAMP", n, "plain", "glow", "tune"), day))(t)
		pinned, rebuilt := mustEvaluate(t, once.Graph, pins), mustEvaluate(t, again.Graph, nil)
		if once.Graph.Len() != again.Graph.Len() {
			t.Fatalf("%d nodes for 1 piece, %d for %d", once.Graph.Len(), again.Graph.Len(), q)
		}
		for id := range graph.ID(once.Graph.Len()) {
			x, okX := pinned.Raw(id)
			y, okY := rebuilt.Raw(id)
			if okX != okY || !x.Equal(y) || once.Graph.Node(id).Key != again.Graph.Node(id).Key {
				t.Errorf("%d pieces: %s is %s pinned and %s rebuilt", q, once.Graph.Node(id).Key, x, y)
			}
		}
	}
}

func mustEvaluate(t *testing.T, g *graph.Graph, pins exact.Pins) *exact.Values {
	t.Helper()
	v := must(exact.Evaluate(g, pins))(t)
	return v
}

func TestPriceTogetherSharesSetups(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	hundred := []decimal.Decimal{decimal.NewFromInt(100)}
	alone := must(answer.Of(b).Price(t.Context(), answer.PriceRequest{Day: day, Trims: []bom.ID{"glow", "tune"}, Quantities: hundred}))(t)
	together := must(answer.Of(b).Price(t.Context(), answer.PriceRequest{Day: day, Trims: []bom.ID{"glow", "tune"}, Quantities: hundred, Together: true}))(t)
	if len(alone.Estimates) != 2 || len(together.Estimates) != 1 || len(together.Estimates[0].Variants) != 2 {
		t.Fatalf("%d and %d estimates", len(alone.Estimates), len(together.Estimates))
	}
	for i, v := range together.Estimates[0].Variants {
		shared, _ := v.Full.Number()
		own, _ := alone.Estimates[i].Variants[0].Full.Number()
		if !shared.LessThan(own) {
			t.Errorf("%s costs %s in a batch that shares parts and %s alone", v.Trim, shared, own)
		}
	}
}

func TestUnverifiedRowsAreMarked(t *testing.T) {
	t.Parallel()
	list := must(answer.Of(demoBook(t)).Price(t.Context(), answer.PriceRequest{Day: day, Trims: []bom.ID{"plain"}, Quantities: []decimal.Decimal{decimal.NewFromInt(10)}}))(t)
	blocked := map[string]bool{}
	for _, f := range list.Estimates[0].Findings {
		if f.Severity == "blocker" {
			blocked[f.Key] = true
		}
	}
	if !blocked["destination/US/plain"] || blocked["destination/DE/plain"] {
		t.Errorf("blocked are %v", blocked)
	}
}
