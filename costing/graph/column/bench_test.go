package column_test

import (
	"math/rand/v2"
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// BenchmarkFullCost computes the full cost of a demo trim with all its ranges
// varying; the draws are there already.
func BenchmarkFullCost(b *testing.B) {
	est := demoTrim(b, "glow", 250)
	benchmarkPlan(b, est.Graph, rangesOf(est.Graph), est.Variants[0].Full)
}

// BenchmarkBatchCurve computes the full cost of a demo trim for as many quantities
// as a block holds.
func BenchmarkBatchCurve(b *testing.B) {
	est := demoTrim(b, "glow", 250)
	v := est.Variants[0]
	benchmarkPlan(b, est.Graph, []graph.ID{v.Quantity}, v.Full)
}

func benchmarkPlan(b *testing.B, g *graph.Graph, vary []graph.ID, outputs ...graph.ID) {
	p, err := column.New(g, column.Options{Vary: vary, Outputs: outputs})
	if err != nil {
		b.Fatal(err)
	}
	c := p.Columns()
	rnd := rand.New(rand.NewPCG(1, 2))
	for i, id := range vary {
		n := g.Node(id)
		low, high := n.Low.InexactFloat64(), n.High.InexactFloat64()
		if n.Op != graph.Range {
			low, high = 50, 500
		}
		for k := range c.In(i) {
			c.In(i)[k] = low + (high-low)*rnd.Float64()
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := c.Run(column.Block); err != nil {
			b.Fatal(err)
		}
	}
	draw := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / column.Block
	b.ReportMetric(draw, "ns/draw")
}

// BenchmarkNew plans the full cost of a demo trim.
func BenchmarkNew(b *testing.B) {
	est := demoTrim(b, "glow", 250)
	o := column.Options{Vary: rangesOf(est.Graph), Outputs: []graph.ID{est.Variants[0].Full}}
	for b.Loop() {
		if _, err := column.New(est.Graph, o); err != nil {
			b.Fatal(err)
		}
	}
}
