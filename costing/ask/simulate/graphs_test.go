package simulate_test

import (
	"context"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// written is a graph being written for a test.
type written struct {
	graph.Scope
	b *graph.Builder
	t testing.TB
}

func write(t testing.TB) *written {
	b := graph.NewBuilder(graph.Limits{})
	return &written{b.Root(), b, t}
}

func (w *written) done() *graph.Graph {
	w.t.Helper()
	g, err := w.b.Build()
	if err != nil {
		w.t.Fatal(err)
	}
	return g
}

// shaped adds a plain range.
func (w *written) shaped(name string, shape bom.Shape, low, likely, high string) graph.ID {
	return w.Number(name, "input "+name, graph.Plain, bom.Number{Low: dec(low), Likely: dec(likely), High: dec(high), IsRange: true, Shape: shape}, "")
}

func (w *written) triangle(name, low, likely, high string) graph.ID {
	return w.shaped(name, bom.Triangular, low, likely, high)
}

// normal adds a normal range cut off so far out, at eight deviations, that
// nothing of it is lost.
func (w *written) normal(name, mean, sd string) graph.ID {
	m, s := dec(mean), dec(sd)
	far := s.Mul(decimal.New(8, 0))
	return w.Number(name, "input "+name, graph.Plain, bom.Number{Low: m.Sub(far), Likely: m, High: m.Add(far), IsRange: true, Shape: bom.Normal, SD: s}, "")
}

func (w *written) constant(name, value string) graph.ID {
	return w.Input(name, "input "+name, graph.Plain, dec(value))
}

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func ids(of ...graph.ID) []graph.ID { return of }

// threeLines is the sum of three independent triangular lines, and the
// lines.
func threeLines(t testing.TB) (g *graph.Graph, total graph.ID, lines []graph.ID) {
	w := write(t)
	lines = ids(w.triangle("a", "8", "10", "15"), w.triangle("b", "4", "5", "9"), w.triangle("c", "20", "22", "30"))
	total = w.Add("total", "total", lines...)
	return w.done(), total, lines
}

// run draws, or ends the test.
func run(t testing.TB, g *graph.Graph, r simulate.Request) *simulate.Result {
	t.Helper()
	out, err := simulate.Run(context.Background(), g, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// glow is the estimate of 250 lamps of the demo's trim glow.
func glow(t testing.TB) *estimate.Estimate {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	e, err := estimate.Build(b, estimate.NewMix("LAMP", decimal.New(250, 0), "glow"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// within holds a statistic to its true value, by its own standard error and by a
// tolerance for what is left of a bias.
func within(t *testing.T, name string, got simulate.Estimated, want, errors, tolerance float64) {
	t.Helper()
	if off := math.Abs(got.Value - want); !(off <= errors*got.Error+tolerance) {
		t.Errorf("%s is %.8g ± %.2g, want %.8g", name, got.Value, got.Error, want)
	}
}

// short writes a float as a decimal that a range takes.
func short(v float64) string { return decimal.NewFromFloat(v).Round(12).String() }
