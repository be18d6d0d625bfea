package shape

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"kerfbook/bom"
)

// below is the share of the draws that do not exceed x, from closed forms.
func below(s Spread, x float64) float64 {
	x = s.within(x)
	fromLow, toHigh := (x-s.Low)/(s.High-s.Low), (s.High-x)/(s.High-s.Low)
	switch c := s.curve().(type) {
	case triangular:
		switch {
		case x <= s.Likely && c.share > 0:
			return fromLow * fromLow / c.share
		case fromLow <= 0.5:
			return (fromLow*(2-fromLow) - c.share) / (1 - c.share)
		}
		return 1 - toHigh*toHigh/(1-c.share)
	case pert:
		share := func(b betaTail, t float64) float64 { return b.density(t) * b.over(t) }
		if fromLow <= 0.5 {
			return share(newBetaTail(c.alpha, c.beta), fromLow)
		}
		return 1 - share(newBetaTail(c.beta, c.alpha), toHigh)
	case normal:
		fromLow, toHigh = (x-c.start())/s.SD, (c.stop()-x)/s.SD
		switch {
		case fromLow <= 0:
			return 0
		case toHigh <= 0:
			return 1
		case fromLow <= toHigh:
			return bellOver(c.za, fromLow) / c.whole
		}
		return 1 - bellOver(-c.zb, toHigh)/c.whole
	}
	return fromLow
}

// moments are the mean and the deviation, from closed forms. In a narrow window of
// a normal curve these are small differences of large numbers; there the density is
// integrated around the middle instead.
func moments(s Spread) (mean, deviation float64) {
	width := s.High - s.Low
	switch c := s.curve().(type) {
	case triangular:
		return s.Low + width*(1+c.share)/3, width * math.Sqrt((1-c.share*(1-c.share))/18)
	case pert:
		return s.Low + width*c.alpha/6, width * math.Sqrt(c.alpha*c.beta/7) / 6
	case normal:
		first := (bell(c.za) - bell(c.zb)) / c.whole
		variance := 1 + (c.za*bell(c.za)-c.zb*bell(c.zb))/c.whole - first*first
		if c.zb-c.za <= narrow {
			middle := c.za + (c.zb-c.za)/2
			off := integrate(c.za, c.zb-c.za, func(z float64) float64 { return (z - middle) * bell(z) }) / c.whole
			second := integrate(c.za, c.zb-c.za, func(z float64) float64 { return (z - middle) * (z - middle) * bell(z) }) / c.whole
			first, variance = middle+off, second-off*off
		}
		return s.Likely + s.SD*first, s.SD * math.Sqrt(variance)
	}
	return s.Low + width/2, width / math.Sqrt(12)
}

// TestBetaSharesAgainstFractions: for whole exponents the share below t is
// Σ C(5,j) t^j (1−t)^(5−j) from j = α to 5, worked out here in fractions.
func TestBetaSharesAgainstFractions(t *testing.T) {
	t.Parallel()
	for alpha := 1; alpha <= 5; alpha++ {
		s := Spread{Shape: bom.Pert, Low: 0, Likely: float64(alpha-1) / 4, High: 1}
		for i := 1; i < 256; i++ {
			x := float64(i) / 256 // as the fraction, exactly
			want, _ := binomialTail(alpha, big.NewRat(int64(i), 256)).Float64()
			near(t, fmt.Sprintf("α %d, share below %v", alpha, x), below(s, x)/want, 1, 2e-14)
			near(t, fmt.Sprintf("α %d, quantile of %v", alpha, want), s.Quantile(want), x, 4e-15+2e-16/slope(alpha, x))
		}
	}
}

func binomialTail(from int, t *big.Rat) *big.Rat {
	rest, sum := new(big.Rat).Sub(big.NewRat(1, 1), t), new(big.Rat)
	for j := from; j <= 5; j++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(5, int64(j)))
		for k := range 5 {
			if k < j {
				term.Mul(term, t)
			} else {
				term.Mul(term, rest)
			}
		}
		sum.Add(sum, term)
	}
	return sum
}

// slope is the density 5 C(4,α−1) t^(α−1) (1−t)^(5−α).
func slope(alpha int, t float64) float64 {
	c, _ := new(big.Float).SetInt(new(big.Int).Binomial(4, int64(alpha-1))).Float64()
	return 5 * c * math.Pow(t, float64(alpha-1)) * math.Pow(1-t, float64(5-alpha))
}

// TestSharesAgainstIntegrals adds up the densities, written here anew, by
// Simpson's rule.
func TestSharesAgainstIntegrals(t *testing.T) {
	t.Parallel()
	for name, s := range many() {
		if s.Shape != bom.Pert && s.Shape != bom.Normal || s.Shape == bom.Normal && s.SD < 0.04*(s.High-s.Low) {
			continue
		}
		f := density(s)
		whole := simpson(s.Low, s.High, f)
		x := s.Low + 0.3*(s.High-s.Low)
		near(t, name+" share", below(s, x), simpson(s.Low, x, f)/whole, 1e-10)
		middle := s.Low + (s.High-s.Low)/2
		first := simpson(s.Low, s.High, func(x float64) float64 { return (x - middle) * f(x) }) / whole
		second := simpson(s.Low, s.High, func(x float64) float64 { return (x - middle) * (x - middle) * f(x) }) / whole
		mean, deviation := moments(s)
		near(t, name+" mean", mean, middle+first, 1e-10*(s.High-s.Low)+1e-15*math.Abs(s.High))
		near(t, name+" deviation", deviation, math.Sqrt(second-first*first), 1e-9*(s.High-s.Low))
	}
}

// density is that of a shape up to a factor.
func density(s Spread) func(x float64) float64 {
	width := s.High - s.Low
	if s.Shape == bom.Normal {
		return func(x float64) float64 { z := (x - s.Likely) / s.SD; return math.Exp(-z * z / 2) }
	}
	return func(x float64) float64 {
		return math.Pow((x-s.Low)/width, 4*(s.Likely-s.Low)/width) * math.Pow((s.High-x)/width, 4*(s.High-s.Likely)/width)
	}
}

// simpson cuts the interval so that points gather at both ends, where some
// densities begin without a slope: x goes as u³(10 − 15u + 6u²).
func simpson(from, to float64, f func(float64) float64) float64 {
	const n = 6_000
	sum := 0.0
	for i := range n + 1 {
		u := float64(i) / n
		weight := 4.0 - 2*float64((i+1)%2)
		if i == 0 || i == n {
			weight = 1
		}
		x := from + (to-from)*u*u*u*(10-15*u+6*u*u)
		sum += weight * f(math.Min(math.Max(x, from), to)) * 30 * u * u * (1 - u) * (1 - u)
	}
	return sum * (to - from) / n / 3
}

// TestCutNormal has the cases that are known in closed form.
func TestCutNormal(t *testing.T) {
	t.Parallel()
	half := Spread{Shape: bom.Normal, Low: 0, Likely: 0, High: 100, SD: 1}
	near(t, "median of half a curve", half.Quantile(0.5), math.Sqrt2*math.Erfinv(0.5), 1e-15)
	whole := Spread{Shape: bom.Normal, Low: -90, Likely: 10, High: 110, SD: 2}
	near(t, "P97.5 of a whole curve", whole.Quantile(0.975), 10+2*1.959963984540054, 1e-13) // the tabulated 1.96
	near(t, "P0.0000001 of a whole curve", whole.Quantile(1e-9), 10-2*5.997807015007686, 1e-13)
}
