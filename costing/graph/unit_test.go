package graph_test

import (
	"testing"

	"kerfbook/costing/graph"
)

func TestUnitString(t *testing.T) {
	t.Parallel()
	euro := graph.Currency("EUR")
	for _, c := range []struct {
		unit graph.Unit
		want string
	}{
		{graph.Plain, ""},
		{graph.Minute, "min"},
		{euro.Per(graph.Piece), "EUR/piece"},
		{graph.Piece.Per(graph.Piece), ""},
		{graph.Gram.Per(graph.Mm.Power(3)), "g/mm³"},
		{graph.Plain.Per(graph.Minute), "1/min"},
		{graph.Mm.Power(2), "mm²"},
		{graph.Mm.Power(4), "mm⁴"},
		{graph.Kilowatt.Times(graph.Hour), "kW·h"},
		{graph.Hour.Times(graph.Kilowatt), "kW·h"},
		{euro.Per(graph.Kilowatt.Times(graph.Hour)), "EUR/kW/h"},
		{graph.Minute.Per(graph.Piece), "min/piece"},
		{graph.Currency("GBP").Per(euro), "GBP/EUR"},
		{graph.Micron, "µm"},
	} {
		if got := c.unit.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestUnitAlgebra(t *testing.T) {
	t.Parallel()
	if graph.Mm.Times(graph.Gram) != graph.Gram.Times(graph.Mm) {
		t.Error("a product depends on the order of its factors")
	}
	if graph.Mm.Power(2).Per(graph.Mm) != graph.Mm || graph.Mm.Power(0) != graph.Plain {
		t.Error("powers do not cancel")
	}
	if graph.Hour == graph.Minute || graph.Currency("EUR") == graph.Currency("GBP") {
		t.Error("two units are one")
	}
	root, ok := graph.Mm.Root()
	if !ok || root.Times(root) != graph.Mm {
		t.Errorf("the root of mm is %q", root)
	}
	if _, ok := root.Root(); ok {
		t.Error("a fourth root has a unit")
	}
}
