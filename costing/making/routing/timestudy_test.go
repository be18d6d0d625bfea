package routing_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// Worked examples of time study and lot sizes that no record of a book holds: the
// observations behind an entered time are not kept, and lot sizes are not planned
// here. They hold the operations of the graph to printed answers.

// study evaluates one figure built from typed numbers.
func study(t *testing.T, build func(s graph.Scope) graph.ID) decimal.Decimal {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	id := build(b.Root().From(graph.Source{Where: "example"}))
	f := ft.Of(t, b)
	return f.Get(f.At(nil), id)
}

// inputs types numbers under names a1, a2, …
func inputs(s graph.Scope, prefix string, numbers ...string) []graph.ID {
	out := make([]graph.ID, len(numbers))
	for i, n := range numbers {
		out[i] = s.Input(prefix+decimal.New(int64(i+1), 0).String(), "typed", graph.Plain, ft.Dec(n))
	}
	return out
}

func exactly(t *testing.T, what string, got decimal.Decimal, expected string) {
	t.Helper()
	if !got.Equal(ft.Dec(expected)) {
		t.Errorf("%s is %s, want %s", what, got, expected)
	}
}

// rated is Σ observed × rating.
func rated(s graph.Scope, pairs ...string) graph.ID {
	return s.SumProducts("normal", "normal time", inputs(s, "a", pairs...)...)
}

// TestNormalTime: source `operations-management`, problem 28, printed 77.8, and problem
// 25, whose printed 3.23 is wrong: its elements sum to 3.083.
func TestNormalTime(t *testing.T) {
	t.Parallel()
	exactly(t, "problem 28", study(t, func(s graph.Scope) graph.ID {
		return rated(s, "37.8", "1.20", "12.5", "1.10", "4", "0.90", "17.75", "0.85")
	}), "77.7975")
	exactly(t, "problem 25", study(t, func(s graph.Scope) graph.ID {
		return rated(s, "0.46", "1.10", "0.68", "0.95", "0.54", "0.90", "1.70", "0.85")
	}), "3.083")
}

// TestObservedTime: source `observed-time-item`, five
// observations, rating 125 %, 20 % of work time.
func TestObservedTime(t *testing.T) {
	t.Parallel()
	mean := func(s graph.Scope) graph.ID {
		seen := inputs(s, "seen", "30", "25", "35", "30", "30")
		return s.Divide("observed", "observed time", s.Add("sum", "sum", seen...), inputs(s, "count", "5")[0])
	}
	normal := func(s graph.Scope) graph.ID {
		return s.Multiply("normal", "normal time", mean(s), inputs(s, "rating", "1.25")[0])
	}
	exactly(t, "observed", study(t, mean), "30")
	exactly(t, "normal", study(t, normal), "37.5")
	exactly(t, "standard", study(t, func(s graph.Scope) graph.ID {
		factor := s.Add("factor", "1 + allowance", s.One(graph.Plain), inputs(s, "allowance", "0.20")[0])
		return s.Multiply("standard", "standard time", normal(s), factor)
	}), "45")
}

// TestBasicTime: source `basic-time`, 800 s at 110 %.
func TestBasicTime(t *testing.T) {
	t.Parallel()
	exactly(t, "basic time", study(t, func(s graph.Scope) graph.ID { return rated(s, "800", "1.10") }), "880")
}

// TestEconomicBatch: source `economic-batch`, inputs read: √(2·500·100,000/1).
func TestEconomicBatch(t *testing.T) {
	t.Parallel()
	exactly(t, "batch", study(t, func(s graph.Scope) graph.ID {
		in := inputs(s, "a", "2", "500", "100000", "1")
		return s.SquareRoot("batch", "economic batch", s.Divide("square", "square", s.Multiply("top", "top", in[0], in[1], in[2]), in[3]))
	}), "10000")
}

// TestFullerLoadsNeverTakeLonger: at the same load time, more pieces in each load
// never take more time in all.
func TestFullerLoadsNeverTakeLonger(t *testing.T) {
	t.Parallel()
	for _, good := range []string{"1", "59", "60", "61", "487.5"} {
		before := decimal.New(1, 9)
		for perLoad := int64(1); perLoad <= 70; perLoad++ {
			n := bom.Whole(perLoad)
			w := newShop(t, []bom.Operation{{Number: 10, Kind: bom.Machining, PieceMin: ft.Num("1.5"), LoadMin: ft.Num("2.2"), PiecesPerLoad: &n}}, nil)
			got := w.Get(w.at(good), w.flow.Steps[0].Occupied)
			if got.GreaterThan(before) {
				t.Errorf("%s pieces in loads of %d take %s, in smaller ones %s", good, perLoad, got, before)
			}
			before = got
		}
	}
}
