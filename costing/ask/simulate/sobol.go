package simulate

import "math"

// design computes a figure in one block at the points that variance shares
// need: two independent samples A and B, and sample A with the inputs of one
// factor taken from B (Saltelli et al. 2010; from memory). A factor is an input,
// or a group of inputs that are correlated.
type design interface {
	// base draws both samples of a block and computes the figure on A and on B.
	base(block int) (a, b []float64, err error)
	// mixed computes it on A with one factor from B, after base.
	mixed(factor int) (ab []float64, err error)
}

// baseSums are the sums over a block of a figure on both samples, less a
// constant near its mean.
type baseSums struct {
	n            int // rows where both have a value
	sum, squares float64
}

// mixedSums are the sums over the rows of a block where all three samples have a
// value.
type mixedSums struct {
	n       int
	change  float64 // of ab − a
	product float64 // of b·(ab − a), b less the constant
	squares float64 // of (ab − a)²
}

// shareSums are the sums of all blocks.
type shareSums struct {
	// Sums of squares of large figures would lose the digits that a small spread is in.
	near  float64 // the constant
	base  []baseSums
	mixed [][]mixedSums // per factor and block
}

// addBase takes the sums of the base samples of a block.
func (s *shareSums) addBase(block int, a, b []float64) {
	t := &s.base[block]
	for i := range a {
		x, y := a[i]-s.near, b[i]-s.near
		if finite(x) && finite(y) {
			t.n++
			t.sum += x + y
			t.squares += x*x + y*y
		}
	}
}

// addMixed takes the sums of a factor in a block.
func (s *shareSums) addMixed(block, factor int, a, b, ab []float64) {
	t := &s.mixed[factor][block]
	for i := range ab {
		y, d := b[i]-s.near, ab[i]-a[i]
		if finite(y) && finite(d) {
			t.n++
			t.change += d
			t.product += y * d
			t.squares += d * d
		}
	}
}

// variance is the variance over the pooled samples A and B, its standard error,
// and the mean less the constant.
func (s *shareSums) variance() (mean float64, v Estimate) {
	n, sum, squares := 0, 0.0, 0.0
	for _, t := range s.base {
		n, sum, squares = n+2*t.n, sum+t.sum, squares+t.squares
	}
	if n == 0 {
		return math.NaN(), Estimate{math.NaN(), math.NaN()}
	}
	mean = sum / float64(n)
	var of []float64
	for _, t := range s.base {
		if t.n > 0 {
			of = append(of, t.varianceAround(mean))
		}
	}
	v = Estimate{max(0, squares/float64(n)-mean*mean), math.NaN()}
	if len(of) > 1 {
		v.Error = standardError(of)
	}
	return mean, v
}

// noise is the deviation, relative to the figure, that rounding alone may make.
const noise = 1e-12

// constant reports whether the figure does not vary.
func (s *shareSums) constant(mean float64, variance Estimate) bool {
	return math.Sqrt(variance.Value) <= noise*max(math.Abs(s.near), math.Abs(s.near+mean))
}

func (t baseSums) varianceAround(mean float64) float64 {
	n := float64(2 * t.n)
	return (t.squares-2*mean*t.sum)/n + mean*mean
}

// shares estimates the first-order share of a factor, the part of the variance
// that would go if the factor were known, and its total share, the part that
// would stay if all others were known:
//
//	first = mean of (b − mean)·(ab − a) ÷ variance   (Saltelli et al. 2010)
//	total = mean of (ab − a)² ÷ 2 ÷ variance         (Jansen 1999)
//
// both from memory. b and ab have the factor in common and nothing else, so the
// mean of b·ab less that of b·a is the variance of the mean given the factor; a and
// ab differ in the factor only, so half their mean square difference is the mean
// of the variance given the others. The standard errors are those of a ratio of
// means over blocks, to first order.
func (s *shareSums) shares(factor int, mean, variance float64) (first, total Estimate) {
	blocks := s.mixed[factor]
	f, e := make([]float64, 0, len(blocks)), make([]float64, 0, len(blocks))
	var vs []float64
	var sum mixedSums
	for i, t := range blocks {
		if t.n == 0 || s.base[i].n == 0 {
			continue
		}
		sum = sum.plus(t)
		f, e, vs = append(f, t.first(mean)), append(e, t.total()), append(vs, s.base[i].varianceAround(mean))
	}
	if sum.n == 0 {
		return Estimate{}, Estimate{} // no mixed draw has a value
	}
	first, total = Estimate{sum.first(mean) / variance, math.NaN()}, Estimate{sum.total() / variance, math.NaN()}
	if len(vs) > 1 {
		first.Error, total.Error = ratioError(f, vs, first.Value, variance), ratioError(e, vs, total.Value, variance)
	}
	return first, total
}

func (t mixedSums) plus(u mixedSums) mixedSums {
	return mixedSums{t.n + u.n, t.change + u.change, t.product + u.product, t.squares + u.squares}
}

func (t mixedSums) first(mean float64) float64 { return (t.product - mean*t.change) / float64(t.n) }
func (t mixedSums) total() float64             { return t.squares / 2 / float64(t.n) }

// ratioError is the standard error of a ratio of two means over blocks.
func ratioError(parts, wholes []float64, ratio, whole float64) float64 {
	rest := make([]float64, len(parts))
	for i := range rest {
		rest[i] = (parts[i] - ratio*wholes[i]) / whole
	}
	return standardError(rest)
}

// rows is the number of pairs of draws where both have a value.
func (s *shareSums) rows() (n int) {
	for _, t := range s.base {
		n += t.n
	}
	return n
}
