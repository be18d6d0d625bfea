package shape

import (
	"fmt"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
)

// many are ranges of every shape: symmetrical and not, with likely at either end,
// and for the normal shape with deviations far below and above the width.
func many() map[string]Spread {
	out := map[string]Spread{}
	for _, r := range [][3]float64{{0, 0.5, 1}, {0, 0, 1}, {0, 1, 1}, {0, 1e-6, 1}, {0, 0.03, 1}, {8, 10, 15}, {-3, -2.9, 7}, {1000, 1001, 1001.5}} {
		for _, spread := range []bom.Shape{bom.Triangular, bom.Pert, bom.Uniform} {
			out[fmt.Sprintf("%v %v", spread, r)] = Spread{Shape: spread, Low: r[0], Likely: r[1], High: r[2]}
		}
		for _, times := range []float64{0.001, 0.05, 0.2, 0.7, 1, 3, 400, 400_000} {
			s := Spread{Shape: bom.Normal, Low: r[0], Likely: r[1], High: r[2], SD: times * (r[2] - r[0])}
			out[fmt.Sprintf("normal %v sd %v", r, s.SD)] = s
		}
	}
	return out
}

// shares are a dense grid of 0 to 1 and both tails.
func shares(n int) []float64 {
	var out []float64
	for p := 1e-12; p < 1/float64(n); p *= 1.7 {
		out = append(out, p)
	}
	for i := 1; i < n; i++ {
		out = append(out, float64(i)/float64(n))
	}
	for i := len(out) - n; i >= 0; i-- {
		out = append(out, 1-out[i])
	}
	return out
}

// TestPublishedQuantiles holds the shapes against tabulated figures. Triangular
// and beta quantiles were computed from the published formulas with inputs of our
// own; 10, 12, 20 has a P80 and a P95 that are whole.
func TestPublishedQuantiles(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		spread            bom.Shape
		low, likely, high float64
		quantiles         map[float64]float64
	}{
		{bom.Triangular, 8, 10, 15, map[float64]float64{0.1: 9.183216, 0.5: 10.816700, 0.8: 12.354249, 0.9: 13.129171, 0.95: 13.677124}},
		{bom.Pert, 8, 10, 15, map[float64]float64{0.1: 8.904353, 0.5: 10.382589, 0.8: 11.625880, 0.9: 12.272703, 0.95: 12.773921}},
		{bom.Triangular, 1, 3, 6, map[float64]float64{0.1: 2.0, 0.5: 3.261387, 0.8: 4.267949, 0.9: 4.775255, 0.95: 5.133975}},
		{bom.Pert, 1, 3, 6, map[float64]float64{0.1: 1.943096, 0.5: 3.127354, 0.8: 4.015911, 0.9: 4.449448, 0.95: 4.772258}},
		{bom.Triangular, 10, 12, 20, map[float64]float64{0.1: 11.414214, 0.5: 13.675445, 0.8: 16, 0.9: 17.171573, 0.95: 18}},
	} {
		s := Spread{Shape: c.spread, Low: c.low, Likely: c.likely, High: c.high}
		for p, want := range c.quantiles {
			near(t, fmt.Sprintf("%v P%v", s, 100*p), s.Quantile(p), want, 5.1e-7)
		}
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.17g, want %.17g within %g", what, got, want, within)
	}
}

func TestExactQuantiles(t *testing.T) {
	t.Parallel()
	triangular, uniform := Spread{Low: 10, Likely: 12, High: 20}, Spread{Shape: bom.Uniform, Low: 2, Likely: 3, High: 6}
	near(t, "P80", triangular.Quantile(0.8), 16, 1e-14)
	near(t, "P95", triangular.Quantile(0.95), 18, 1e-14)
	near(t, "P25", uniform.Quantile(0.25), 3, 0)
}

// TestQuantileAndShareAreInverse compares the share below a quantile with the one
// asked for; it may differ by what rounding the value itself does to it.
func TestQuantileAndShareAreInverse(t *testing.T) {
	t.Parallel()
	for name, s := range many() {
		_, deviation := moments(s)
		width := math.Min(s.High-s.Low, 10*deviation)
		for _, p := range shares(400) {
			x := s.Quantile(p)
			ulp := math.Max(math.Nextafter(x, math.Inf(1))-x, 1e-16*(s.High-s.Low))
			steepest := below(s, x+1e-9*width) - below(s, x-1e-9*width) + 1e-15
			if got, slack := below(s, x), 1e-13*math.Min(p, 1-p)+4e-16+2*ulp*steepest/1e-9/width; math.Abs(got-p) > slack {
				t.Errorf("%s: %g of the draws are below the quantile of %g, off by %g, more than %g", name, got, p, got-p, slack)
				break
			}
		}
	}
}

// Where the range begins at 0, small values and shares keep all their digits.
func TestSmallSharesKeepTheirDigits(t *testing.T) {
	t.Parallel()
	for name, s := range many() {
		if s.Low != 0 || s.Shape == bom.Normal && s.SD < 0.2 {
			continue
		}
		for p := 1e-300; p < 0.5; p *= 7 {
			if got := below(s, s.Quantile(p)); math.Abs(got/p-1) > 1e-12 {
				t.Errorf("%s: the quantile of %g has %g below it", name, p, got)
				break
			}
		}
	}
}

func TestQuantilesRiseWithinTheRange(t *testing.T) {
	t.Parallel()
	for name, s := range many() {
		before := s.Low
		for _, p := range shares(1000) {
			x := s.Quantile(p)
			if !(x >= before && x <= s.High) {
				t.Errorf("%s: the quantile of %g is %g, after %g", name, p, x, before)
				break
			}
			before = x
		}
		if s.Quantile(0) != s.Low || s.Quantile(1) != s.High {
			t.Errorf("%s: does not end at its ends", name)
		}
	}
}

// A range turned around has its quantiles turned around.
func TestMirror(t *testing.T) {
	t.Parallel()
	for name, s := range many() {
		m := Spread{Shape: s.Shape, Low: -s.High, Likely: -s.Likely, High: -s.Low, SD: s.SD}
		for _, p := range []float64{1.0 / (1 << 40), 0.125, 0.375, 0.5, 0.75, 1 - 1.0/(1<<40)} {
			near(t, fmt.Sprintf("%s, mirrored %v", name, p), m.Quantile(1-p), -s.Quantile(p), 1e-14*(s.High-s.Low)+4e-16*math.Abs(s.High))
		}
	}
}

func TestConstants(t *testing.T) {
	t.Parallel()
	for _, s := range []Spread{
		{Low: 3, Likely: 3, High: 3}, {Shape: bom.Pert, Low: 3, Likely: 3, High: 3}, {Shape: bom.Uniform, Low: 3, Likely: 3, High: 3},
		{Shape: bom.Normal, Low: 3, Likely: 3, High: 3, SD: 2},
		{Shape: bom.Normal, Low: 3, Likely: 3, High: 3}, // a deviation too small for a float64
	} {
		out := make([]float64, 3)
		s.Sampler().Fill([]float64{0, 0.3, 1}, out)
		if s.Quantile(0.2) != 3 || out[0] != 3 || out[1] != 3 || out[2] != 3 {
			t.Errorf("%+v: quantile %v, values %v", s, s.Quantile(0.2), out)
		}
	}
}

func TestOutsideAndNoNumber(t *testing.T) {
	t.Parallel()
	for name, s := range shapes() {
		if s.Quantile(-1) != 8 || s.Quantile(2) != 15 || !math.IsNaN(s.Quantile(math.NaN())) {
			t.Errorf("%s: %v %v", name, s.Quantile(-1), s.Quantile(2))
		}
	}
}

// TestHugeAndTiny holds that no scale leaves the range or never ends.
func TestHugeAndTiny(t *testing.T) {
	t.Parallel()
	for _, scale := range []float64{1e-30, 1e-8, 1e8, 1e33} {
		for name, s := range many() {
			big := Spread{Shape: s.Shape, Low: s.Low * scale, Likely: s.Likely * scale, High: s.High * scale, SD: s.SD * scale}
			for _, p := range []float64{5e-324, 1e-100, 1e-9, 0.4, 0.9} {
				near(t, fmt.Sprintf("%s × %g at %g", name, scale, p), big.Quantile(p)/scale, s.Quantile(p), 1e-12*(s.High-s.Low)+4e-16*math.Abs(s.High))
			}
		}
	}
	for _, sd := range []float64{1e-300, 1e-34, 1e34, 1e300} {
		s := Spread{Shape: bom.Normal, Low: -1, Likely: 0.25, High: 1, SD: sd}
		out := make([]float64, 3)
		s.Sampler().Fill([]float64{1e-9, 0.5, 0.9}, out)
		for _, x := range append(out, s.Quantile(0.3)) {
			if !(x >= -1 && x <= 1) {
				t.Errorf("sd %g gives %v", sd, out)
			}
		}
	}
}

func TestOfANode(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	dec := decimal.RequireFromString
	r := s.Estimate("r", "run time", graph.Minute, bom.Number{Low: dec("4"), Likely: dec("5"), High: dec("7.5"), IsRange: true, Shape: bom.Normal, SD: dec("0.4")})
	c := s.Input("c", "set-up", graph.Minute, dec("2.5"))
	g := graphtest.Built(t, b)
	if got, want := Of(g.Node(r)), (Spread{Shape: bom.Normal, Low: 4, Likely: 5, High: 7.5, SD: 0.4}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got, want := Of(g.Node(c)), (Spread{Low: 2.5, Likely: 2.5, High: 2.5}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
}
