package shape

import (
	"math"
	"slices"
	"testing"

	"kerfbook/bom"
)

// bound is what a table may be wrong by, as a share of the width or, for a normal
// shape, of the deviation if that is less.
const bound = 1e-8

func unit(s Spread) float64 {
	if s.Shape == bom.Normal {
		return math.Min(s.High-s.Low, s.SD)
	}
	return s.High - s.Low
}

func TestValuesAreTheQuantiles(t *testing.T) {
	t.Parallel()
	worst := map[bom.Shape]float64{}
	u := append(append(shares(2000), uniforms(4000)...), 0, 1, 0.5, math.Nextafter(0.5, 0), math.Nextafter(0.5, 1), 1e-300, 1-1.0/(1<<53), 0.25, 0.75)
	for name, s := range many() {
		out := make([]float64, len(u))
		s.Sampler().Fill(u, out)
		for i, x := range out {
			off := math.Abs(x-s.Quantile(u[i])) - 4e-16*math.Abs(s.High)
			worst[s.Shape] = max(worst[s.Shape], off/unit(s))
			if !(off <= bound*unit(s)) {
				t.Errorf("%s: %g gives %.17g, the quantile is %.17g", name, u[i], x, s.Quantile(u[i]))
				break
			}
		}
	}
	t.Logf("off by at most, in widths or deviations: %v", worst)
}

// TestValuesRise also holds that values stay within the range. Two shares closer
// than 1e-12 may give the same value but for rounding.
func TestValuesRise(t *testing.T) {
	t.Parallel()
	u := append(shares(50_000), 0, 1)
	for e := 2; e < 21; e++ { // where pieces meet
		for k := range 32 {
			edge := math.Ldexp(1+float64(k)/32, -e)
			u = append(u, edge, edge*(1-1e-12), edge*(1+1e-12), 1-edge)
		}
	}
	slices.Sort(u)
	for name, s := range many() {
		out := make([]float64, len(u))
		s.Sampler().Fill(u, out)
		slack := 4e-16 * max(math.Abs(s.Low), math.Abs(s.High))
		for i, x := range out {
			if !(x >= s.Low && x <= s.High) || i > 0 && x < out[i-1]-slack {
				t.Errorf("%s: %.17g gives %.17g, after %.17g", name, u[i], x, out[max(i, 1)-1])
				break
			}
		}
	}
}

// TestMeanOfValues: the values at the middles of many even parts have the mean and
// the deviation of the range.
func TestMeanOfValues(t *testing.T) {
	t.Parallel()
	const n = 1 << 15
	u := make([]float64, n)
	for i := range u {
		u[i] = (float64(i) + 0.5) / n
	}
	for name, s := range many() {
		out := make([]float64, n)
		s.Sampler().Fill(u, out)
		mean, deviation := moments(s)
		sum, squares := 0.0, 0.0
		for _, x := range out {
			d := (x - mean) / deviation
			sum, squares = sum+d, squares+d*d
		}
		near(t, name+" mean", sum/n, 0, 4e-6)
		near(t, name+" deviation", math.Sqrt(squares/n), 1, 5e-4)
	}
}

func TestFillInPlace(t *testing.T) {
	t.Parallel()
	for name, s := range shapes() {
		u, out := uniforms(100), make([]float64, 200)
		p := s.Sampler()
		p.Fill(u, out)
		p.Fill(u, u)
		if !slices.Equal(u, out[:100]) || out[100] != 0 {
			t.Errorf("%s: in place gives other values, or more than asked for", name)
		}
	}
}

func TestFillAllocatesNothing(t *testing.T) { // not parallel: others would be counted
	u, out := uniforms(1024), make([]float64, 1024)
	for name, s := range shapes() {
		p := s.Sampler()
		if n := testing.AllocsPerRun(10, func() { p.Fill(u, out) }); n != 0 {
			t.Errorf("%s: %v allocations", name, n)
		}
	}
}
