package compare

import (
	"context"
	"testing"
)

// benchmark compares, and says how much was evaluated.
func benchmark(b *testing.B, before, after Side, l limits) {
	b.Helper()
	b.ReportAllocs()
	var r *Result
	for b.Loop() {
		var err error
		if r, err = between(context.Background(), before, after, l); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(r.Lines)), "lines")
	b.ReportMetric(float64(r.Method.Inputs), "inputs")
	b.ReportMetric(float64(r.Method.Evaluations), "evaluations")
	b.ReportMetric(float64(before.Graph.Len()), "nodes")
}

func BenchmarkTwoQuantities(b *testing.B) {
	side := sideOf(estimateOf(b, demo(b), "glow"), glowCost)
	benchmark(b, side, side.at(b, "mix/glow", "250"), everyday)
}

func BenchmarkTwoTrims(b *testing.B) {
	book := demo(b)
	benchmark(b, sideOf(estimateOf(b, book, "plain"), "variant/plain/each/full"), sideOf(estimateOf(b, book, "glow"), glowCost), everyday)
}

func BenchmarkQuoteAndToday(b *testing.B) {
	benchmark(b, quoted(b), quoted(b, changedBook...), everyday)
}

func BenchmarkQuoteAndTodayOverSubsets(b *testing.B) {
	benchmark(b, quoted(b), quoted(b, changedBook[:12]...), everyday)
}

// BenchmarkQuoteTotal has prices that jump, so that the way is cut finely.
func BenchmarkQuoteTotal(b *testing.B) {
	before, after := quoted(b), quoted(b, changedBook...)
	before.Headline, after.Headline = "quote/total", "quote/total"
	benchmark(b, before, after, everyday)
}
