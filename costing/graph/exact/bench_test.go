package exact_test

import (
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

// BenchmarkEvaluate evaluates random graphs, built and taken over before.
func BenchmarkEvaluate(b *testing.B) {
	for _, size := range []int{500, 4000} {
		b.Run(fmt.Sprint(size), func(b *testing.B) {
			g := graphtest.Random(1, size)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := exact.Evaluate(g, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(g.Len()), "ns/node")
		})
	}
}

// BenchmarkPin evaluates them again with one input at another value.
func BenchmarkPin(b *testing.B) {
	g := graphtest.Random(1, 4000)
	e := exact.New(g)
	for b.Loop() {
		if _, err := e.Evaluate(exact.Pins{3: decimal.New(7, 0)}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOperation evaluates a graph of one input each and 1,000 nodes of one
// operation.
func BenchmarkOperation(b *testing.B) {
	for _, c := range []struct {
		name, x, y string
		op         func(s graph.Scope, name, label string, x, y graph.ID) graph.ID
	}{
		{"add", "12.75", "0.333333333333333333333333333333333", two(graph.Scope.Add)},
		{"multiply-short", "12.75", "1.19", two(graph.Scope.Multiply)},
		{"multiply-long", "1.234567890123456789012345678901234", "7.654321098765432109876543210987654", two(graph.Scope.Multiply)},
		{"divide-short", "12.75", "7", graph.Scope.Divide},
		{"divide-long", "1.234567890123456789012345678901234", "7.654321098765432109876543210987654", graph.Scope.Divide},
		{"ceiling", "1.234567890123456789012345678901234", "0.05", graph.Scope.Ceiling},
		{"power-whole", "1.05", "12", graph.Scope.Power},
		{"power", "128", "-0.3219280948873623478703194294893902", graph.Scope.Power},
		{"square-root", "2", "1", one(graph.Scope.SquareRoot)},
		{"natural-log", "2", "1", one(graph.Scope.NaturalLog)},
		{"arc-cosine", "0.3", "1", one(graph.Scope.ArcCosine)},
	} {
		b.Run(c.name, func(b *testing.B) {
			const nodes = 1000
			build := graph.NewBuilder(graph.Limits{})
			s := build.Root()
			x := s.Input("x", "x", graph.Plain, decimal.RequireFromString(c.x))
			y := s.Input("y", "y", graph.Plain, decimal.RequireFromString(c.y))
			for i := range nodes {
				c.op(s, fmt.Sprint(i), "node", x, y)
			}
			g := graphtest.Built(b, build)
			for b.Loop() {
				if _, err := exact.Evaluate(g, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/nodes, "ns/node")
		})
	}
}

func two(f func(graph.Scope, string, string, ...graph.ID) graph.ID) func(graph.Scope, string, string, graph.ID, graph.ID) graph.ID {
	return func(s graph.Scope, name, label string, x, y graph.ID) graph.ID { return f(s, name, label, x, y) }
}

func one(f func(graph.Scope, string, string, graph.ID) graph.ID) func(graph.Scope, string, string, graph.ID, graph.ID) graph.ID {
	return func(s graph.Scope, name, label string, x, _ graph.ID) graph.ID { return f(s, name, label, x) }
}
