package graphtest

import (
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Built is the graph of a builder that must have no fault.
func Built(t testing.TB, b *graph.Builder) *graph.Graph {
	t.Helper()
	g, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// Evaluated are the exact values of a graph without pins, which must succeed.
func Evaluated(t testing.TB, g *graph.Graph) *exact.Values {
	t.Helper()
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	return values
}
