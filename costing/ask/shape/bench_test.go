package shape

import (
	"testing"

	"kerfbook/bom"
)

// shapes are one range of each shape, none of them symmetrical.
func shapes() map[string]Spread {
	return map[string]Spread{
		"triangular": {Low: 8, Likely: 10, High: 15},
		"pert":       {Shape: bom.Pert, Low: 8, Likely: 10, High: 15},
		"uniform":    {Shape: bom.Uniform, Low: 8, Likely: 10, High: 15},
		"normal":     {Shape: bom.Normal, Low: 8, Likely: 10, High: 15, SD: 1.5},
	}
}

// uniforms are n numbers between 0 and 1 in no order.
func uniforms(n int) []float64 {
	out, state := make([]float64, n), uint64(1)
	for i := range out {
		state += 0x9e3779b97f4a7c15
		z := (state ^ state>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		out[i] = float64((z^z>>31)>>11) / (1 << 53)
	}
	return out
}

func BenchmarkShapes(b *testing.B) {
	for name, s := range shapes() {
		b.Run(name+"/fill", func(b *testing.B) {
			u, out, p := uniforms(1<<16), make([]float64, 1024), s.Sampler()
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				p.Fill(u[n*1024:][:1024], out)
				n = (n + 1) % 64
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1024, "ns/sample")
		})
		b.Run(name+"/sampler", func(b *testing.B) {
			for b.Loop() {
				s.Sampler()
			}
		})
		b.Run(name+"/quantile", func(b *testing.B) {
			u, n := uniforms(1024), 0
			for b.Loop() {
				s.Quantile(u[n])
				n = (n + 1) % 1024
			}
		})
	}
}
