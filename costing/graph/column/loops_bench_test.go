package column

import (
	"math/rand/v2"
	"testing"
)

// BenchmarkLoop runs the loops over one chunk, which lies in the fastest memory.
func BenchmarkLoop(b *testing.B) {
	rnd := rand.New(rand.NewPCG(3, 4))
	col := func(low, high float64) []float64 {
		c := make([]float64, chunk)
		for i := range c {
			c[i] = low + (high-low)*rnd.Float64()
		}
		return c
	}
	out, x, y, z, w := make([]float64, chunk), col(1, 9), col(1, 9), col(1, 9), col(1, 9)
	edges, table := []float64{2, 4, 6}, []float64{1, 2, 3, 4}
	two, index := [][]float64{x, y}, make([]float64, chunk)
	loopLeast(index, two)
	for _, l := range []struct {
		name string
		run  func()
	}{
		{"add-linear", func() { loopAddLinear(out, x, 1e-9) }},
		{"add-product", func() { loopAddProduct(out, x, y, 1e-9) }},
		{"reciprocals", func() { loopReciprocals(out, x) }},
		{"minimum", func() { loopMinimum(out, x, y) }},
		{"maximum-of", func() { loopMaximumOf(out, x, 5) }},
		{"ceilings", func() { loopCeilings(out, x, 20, 0, 0.05) }},
		{"rounds", func() { loopRounds(out, x, 20, 0, 0.05) }},
		{"evens", func() { loopEvens(out, x, 20, 0, 0.05) }},
		{"within", func() { loopWithin(out, x, y, z, 3, 6) }},
		{"ordered", func() { loopOrdered(out, x, y, z, w, testOf(0)) }},
		{"look-up", func() { loopLookUp(out, x, edges, table) }},
		{"least", func() { loopLeast(out, two) }},
		{"pick", func() { loopPick(out, index, two) }},
		{"square-roots", func() { squareRoots(out, x) }},
		{"natural-logs", func() { naturalLogs(out, x) }},
		{"powers", func() { powers(out, x, -0.3219280948873623) }},
	} {
		b.Run(l.name, func(b *testing.B) {
			for b.Loop() {
				l.run()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/chunk, "ns/value")
		})
	}
}
