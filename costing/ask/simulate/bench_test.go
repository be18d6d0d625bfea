package simulate_test

import (
	"context"
	"fmt"
	"testing"

	"kerfbook/costing/ask/simulate"
)

// BenchmarkRun draws the full cost of 250 lamps of the demo's trim glow 100,000
// times, sampling, planning and statistics included.
func BenchmarkRun(b *testing.B) {
	e := glow(b)
	for _, cores := range []int{1, 2} {
		b.Run(fmt.Sprintf("cores=%d", cores), func(b *testing.B) {
			r := simulate.Request{Outputs: ids(e.Variants[0].Full), Draws: 100_000, Cores: cores}
			for b.Loop() {
				run(b, e.Graph, r)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/100_352, "ns/draw")
		})
	}
}

// BenchmarkShares takes two samples of 10,240 draws and one mixed sample per input.
func BenchmarkShares(b *testing.B) {
	e := glow(b)
	for b.Loop() {
		if _, err := simulate.Shares(context.Background(), e.Graph, simulate.Request{Outputs: ids(e.Variants[0].Full), Draws: 10_240}, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTornado evaluates the graph exactly twice per input.
func BenchmarkTornado(b *testing.B) {
	e := glow(b)
	for b.Loop() {
		if _, err := simulate.Tornado(context.Background(), e.Graph, simulate.Request{Outputs: ids(e.Variants[0].Full)}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
