package curve_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/curve"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
)

// demoDay is a day on which everything in the demo book is valid.
const demoDay = "2026-11-25"

func demo(t testing.TB, trims ...bom.ID) *estimate.Estimate {
	t.Helper()
	est, err := estimate.Build(booktest.Demo(t), estimate.NewMix("LAMP", decimal.New(100, 0), trims...), demoDay)
	if err != nil {
		t.Fatal(err)
	}
	return est
}

func whole(v estimate.Variant, from, to int64) curve.Request {
	return curve.Request{Figure: v.Full, Full: v.Full, Quantity: v.Quantity, From: from, To: to}
}

// BenchmarkSweep draws the full cost of a demo trim at 2,000 quantities, finds all
// breaks, and evaluates ten marks exactly.
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
		if _, err := c.Breaks(b.Context(), 20); err != nil {
			b.Fatal(err)
		}
	}
}
