package simulate

import "testing"

// BenchmarkRun draws the full cost of 250 lamps of the demo's trim glow 100,000
// times, sampling, planning and statistics included; on how many cores says -cpu.
func BenchmarkRun(b *testing.B) {
	e := glow(b)
	r := Request{Outputs: ids(e.Variants[0].Full), Draws: 100_000}
	for b.Loop() {
		run(b, e.Graph, r)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/100_352, "ns/draw")
}

// BenchmarkShares takes two samples of 10,240 draws and one mixed sample per input.
func BenchmarkShares(b *testing.B) {
	e := glow(b)
	for b.Loop() {
		shared(b, e.Graph, e.Variants[0].Full, Request{Draws: 10_240})
	}
}

// BenchmarkTornado evaluates the graph exactly twice per input.
func BenchmarkTornado(b *testing.B) {
	e := glow(b)
	for b.Loop() {
		tornado(b, e.Graph, e.Variants[0].Full, Request{})
	}
}
