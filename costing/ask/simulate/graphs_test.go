package simulate

import (
	"context"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
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

func (w *written) done() *graph.Graph { return graphtest.Built(w.t, w.b) }

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

// lines is the sum of three triangular lines, and two of other shapes.
func lines(t testing.TB) (g *graph.Graph, total graph.ID, of []graph.ID) {
	w := write(t)
	of = ids(w.triangle("a", "8", "10", "15"), w.triangle("b", "4", "5", "9"), w.triangle("c", "20", "22", "30"),
		w.shaped("d", bom.Pert, "1", "2", "9"), w.shaped("e", bom.Uniform, "1", "2", "9"))
	total = w.Add("total", "total", of[:3]...)
	w.Add("all", "all", of...)
	return w.done(), total, of
}

// silent is progress that nobody is told of.
func silent(int, int) {}

// run draws, or ends the test.
func run(t testing.TB, g *graph.Graph, r Request) *Result {
	t.Helper()
	out, err := Run(context.Background(), exact.New(g), r, silent)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// shared shares the variance of a figure out, or ends the test.
func shared(t testing.TB, g *graph.Graph, figure graph.ID, r Request) *Partition {
	t.Helper()
	p, err := Shares(context.Background(), exact.New(g), figure, r, silent)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// tornado ranks the inputs of a figure, or ends the test.
func tornado(t testing.TB, g *graph.Graph, figure graph.ID, r Request) []Bar {
	t.Helper()
	bars, err := Tornado(context.Background(), exact.New(g), figure, r)
	if err != nil {
		t.Fatal(err)
	}
	return bars
}

// subjectOf makes a request ready, or ends the test.
func subjectOf(t testing.TB, g *graph.Graph, r *Request) *subject {
	t.Helper()
	s, err := newSubject(exact.New(g), r)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// glow is the estimate of 250 lamps of the demo's trim glow.
func glow(t testing.TB) *estimate.Estimate {
	t.Helper()
	e, err := estimate.Build(booktest.Demo(t), estimate.NewMix("LAMP", decimal.New(250, 0), "glow"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// within holds a statistic to its true value, by its own standard error and by a
// tolerance for what is left of a bias.
func within(t *testing.T, name string, got Estimate, want, errors, tolerance float64) {
	t.Helper()
	if off := math.Abs(got.Value - want); !(off <= errors*got.Error+tolerance) {
		t.Errorf("%s is %.8g ± %.2g, want %.8g", name, got.Value, got.Error, want)
	}
}

// short writes a float as a decimal that a range takes.
func short(v float64) string { return decimal.NewFromFloat(v).Round(12).String() }
