package shape

import "math"

// pert is the beta curve over a range with the exponents α = 1 + 4(m−a)/(b−a) and
// β = 1 + 4(b−m)/(b−a). α + β is always 6, and both lie between 1 and 5.
type pert struct {
	s           Spread
	width       float64
	alpha, beta float64
}

func newPert(s Spread) pert {
	width := s.High - s.Low
	return pert{s, width, 1 + 4*(s.Likely-s.Low)/width, 1 + 4*(s.High-s.Likely)/width}
}

func (p pert) ends() (low, high end) {
	return end{p.s.Low, newBetaTail(p.alpha, p.beta).scaled(p.width)},
		end{p.s.High, newBetaTail(p.beta, p.alpha).scaled(p.width)}
}

// betaTail is the beta curve over 0 to 1, looked at from 0. The exponents add up
// to 6.
type betaTail struct{ alpha, beta, whole float64 } // whole: the beta function

func newBetaTail(alpha, beta float64) betaTail {
	return betaTail{alpha, beta, math.Gamma(alpha) * math.Gamma(beta) / 120} // Γ(6) = 120
}

func (b betaTail) density(t float64) float64 {
	return math.Exp((b.alpha-1)*math.Log(t)+(b.beta-1)*math.Log1p(-t)) / b.whole
}

// over is the share below t divided by the density at t:
//
//	t(1−t)/α · [1 + 6t/(α+1) + 6·7 t²/((α+1)(α+2)) + …]
//
// (the hypergeometric form of the incomplete beta function, from memory; a test
// holds it against fractions). Every term is positive, so that nothing cancels.
func (b betaTail) over(t float64) float64 {
	sum, term := 1.0, 1.0
	for n := 0.0; term > 1e-17*sum; n++ {
		term *= t * (6 + n) / (b.alpha + 1 + n)
		sum += term
	}
	return t * (1 - t) / b.alpha * sum
}

func (b betaTail) scaled(width float64) func(q, guess float64) (float64, float64) {
	return func(q, guess float64) (float64, float64) {
		t := b.quantile(q, guess/width)
		return width * t, width / b.density(t)
	}
}

// furthest lies beyond half of every curve: for α = 5 that is at the fifth root of
// a half, 0.8706.
const furthest = 0.875

// quantile gives the t that has a share q below it, 0 < q ≤ 0.5. The share is less
// than t^α ÷ (α B), so that the root of that is a bound from below.
func (b betaTail) quantile(q, guess float64) float64 {
	lower, upper := math.Pow(q*b.alpha*b.whole, 1/b.alpha)*(1-1e-12), furthest
	t := guess
	if !(t > lower && t < upper) {
		t = lower
	}
	return halley(t, lower, upper, func(t float64) (miss, bend float64) {
		return b.over(t) - q/b.density(t), (b.alpha-1)/t - (b.beta-1)/(1-t)
	})
}
