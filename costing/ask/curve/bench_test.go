package curve_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/curve"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// demoDay is a day on which everything in the demo book is valid.
const demoDay = "2026-11-25"

func demo(t testing.TB, trims ...string) *estimate.Estimate {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	var mix []estimate.MixLine
	for _, trim := range trims {
		mix = append(mix, estimate.NewMix("LAMP", decimal.New(100, 0), b.Products[0].Trims[0].ID)...)
		mix[len(mix)-1].Trim = b.Products[0].Trims[0].ID
		for _, known := range b.Products[0].Trims {
			if string(known.ID) == trim {
				mix[len(mix)-1].Trim = known.ID
			}
		}
	}
	est, err := estimate.Build(b, mix, demoDay)
	if err != nil {
		t.Fatal(err)
	}
	return est
}

// figures are full cost and cost of production per piece, the cost kinds and the
// prices of a variant.
func figures(v estimate.Variant) []graph.ID {
	out := []graph.ID{v.Full, v.Production}
	for _, id := range v.Kinds {
		if id != graph.None {
			out = append(out, id)
		}
	}
	for _, p := range v.Prices {
		out = append(out, p.Shelf)
	}
	return out
}

func whole(v estimate.Variant, from, to int64) curve.Request {
	return curve.Request{Figures: figures(v), Quantity: v.Quantity, From: from, To: to,
		Full: &v.Full}
}

// BenchmarkSweep draws full cost, cost of production, all cost kinds and the
// prices of a demo trim at 2,000 quantities, finds all breaks, and evaluates ten
// marks exactly.
func BenchmarkSweep(b *testing.B) {
	est := demo(b, "tune")
	r := whole(est.Variants[0], 1, 2000)
	for q := int64(200); q <= 2000; q += 200 {
		r.Marks = append(r.Marks, q)
	}
	b.ReportAllocs()
	places := 0
	for b.Loop() {
		c, err := curve.Sweep(b.Context(), est.Graph, r)
		if err != nil {
			b.Fatal(err)
		}
		places = len(c.Places)
	}
	b.ReportMetric(float64(places), "breaks")
	b.ReportMetric(float64(est.Graph.Len()), "nodes")
}

// BenchmarkBreaks names the causes and effects of the twenty largest breaks.
func BenchmarkBreaks(b *testing.B) {
	est := demo(b, "tune")
	c, err := curve.Sweep(b.Context(), est.Graph, whole(est.Variants[0], 1, 2000))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.Breaks(b.Context(), curve.Select{Most: 20}); err != nil {
			b.Fatal(err)
		}
	}
}
