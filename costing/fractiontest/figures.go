package fractiontest

import (
	"math/big"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Figures are those of a graph that a test looks into by key.
type Figures struct {
	T     testing.TB
	Graph *graph.Graph
}

// Of builds a graph, which must have no fault.
func Of(t testing.TB, b *graph.Builder) Figures {
	t.Helper()
	g, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return Figures{t, g}
}

// ID finds a figure, which must be there.
func (f Figures) ID(key string) graph.ID {
	f.T.Helper()
	id, ok := f.Graph.Find(key)
	if !ok {
		f.T.Fatalf("there is no figure %s", key)
	}
	return id
}

// Has reports whether there is a figure.
func (f Figures) Has(key string) bool {
	_, ok := f.Graph.Find(key)
	return ok
}

// At evaluates with figures pinned.
func (f Figures) At(pins exact.Pins) *exact.Values {
	f.T.Helper()
	v, err := exact.Evaluate(f.Graph, pins)
	if err != nil {
		f.T.Fatal(err)
	}
	return v
}

// Get gives a figure, which must have a value.
func (f Figures) Get(v *exact.Values, id graph.ID) decimal.Decimal {
	f.T.Helper()
	d, err := v.Get(id)
	if err != nil {
		f.T.Fatalf("%s: %v", f.Graph.Node(id).Key, err)
	}
	return d
}

// Want compares a figure with a fraction.
func (f Figures) Want(v *exact.Values, what string, id graph.ID, want *big.Rat) {
	f.T.Helper()
	Same(f.T, what, f.Get(v, id).Rat(), want)
}

// Same compares two fractions to 25 digits, which 34 leave right after a chain of
// divisions.
func Same(t testing.TB, what string, got, want *big.Rat) {
	t.Helper()
	bound := Times(Plus(Rat("1"), new(big.Rat).Abs(want)), Rat("1e-25"))
	if diff := Minus(got, want); diff.Abs(diff).Cmp(bound) > 0 {
		t.Errorf("%s is %s, want %s", what, got.FloatString(28), want.FloatString(28))
	}
}
