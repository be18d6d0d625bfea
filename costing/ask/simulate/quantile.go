package simulate

import "math"

// Estimate is a statistic of draws with its standard error: the standard
// deviation of the statistic over the replicates ÷ √replicates. With R replicates
// the error itself is known to about 1 ÷ √(2(R−1)): a quarter for ten. It says
// nothing about the bias, which for a quantile is of the order of 1 ÷ draws.
//
// Value is NaN where no draw has a value, Error where fewer than two replicates
// have one.
type Estimate struct {
	Value, Error float64
}

// Quantile is the value that a share P of the draws does not exceed.
type Quantile struct {
	P float64
	Estimate
}

// marked are the shares that every result gives.
var marked = [...]float64{0.05, 0.10, 0.50, 0.80, 0.90, 0.95}

// quantile gives one quantile of the pooled draws: linear between the two values
// nearest to place p·(n−1), type 7 of Hyndman and Fan 1996.
func (s *sample) quantile(p float64) Estimate {
	if s.values == 0 {
		return Estimate{math.NaN(), math.NaN()}
	}
	at, part := placeOf(p, s.values)
	value, next := s.ranked(at)
	return Estimate{between(value, next, part), s.overBlocks(func(b []float64) float64 {
		at, part := placeOf(p, len(b))
		return between(b[at], b[min(at+1, len(b)-1)], part)
	})}
}

// placeOf splits p·(n−1) into a place and the part of the way to the next.
func placeOf(p float64, n int) (at int, part float64) {
	whole, part := math.Modf(p * float64(n-1))
	return int(whole), part
}

func between(a, b, part float64) float64 { return a + part*(b-a) }

// share gives the share of draws that do not exceed x.
func (s *sample) share(x float64) Estimate {
	if s.values == 0 || math.IsNaN(x) {
		return Estimate{math.NaN(), math.NaN()}
	}
	return Estimate{float64(s.atMost(x)) / float64(s.values), s.overBlocks(func(b []float64) float64 {
		return float64(atMost(b, x)) / float64(len(b))
	})}
}

// moments give the mean and the standard deviation.
func (s *sample) moments() (mean, deviation Estimate) {
	if s.values == 0 {
		return Estimate{math.NaN(), math.NaN()}, Estimate{math.NaN(), math.NaN()}
	}
	base, _ := s.ends()
	sum := 0.0
	for _, b := range s.blocks {
		for _, v := range b {
			sum += v - base
		}
	}
	m := base + sum/float64(s.values)
	squares := 0.0
	for _, b := range s.blocks {
		squares += squaresAround(b, m)
	}
	mean = Estimate{m, s.overBlocks(func(b []float64) float64 { m, _ := moments(b); return m })}
	deviation = Estimate{math.Sqrt(squares / float64(max(1, s.values-1))), s.overBlocks(func(b []float64) float64 { _, d := moments(b); return d })}
	return mean, deviation
}

// moments give the mean of some values and their standard deviation, which
// divides by n−1. It starts from the first value, so that equal values have no
// deviation at all.
func moments(of []float64) (mean, deviation float64) {
	sum := 0.0
	for _, v := range of {
		sum += v - of[0]
	}
	mean = of[0] + sum/float64(len(of))
	return mean, math.Sqrt(squaresAround(of, mean) / float64(max(1, len(of)-1)))
}

func squaresAround(of []float64, mean float64) (sum float64) {
	for _, v := range of {
		sum += (v - mean) * (v - mean)
	}
	return sum
}

// overBlocks is the standard error of a statistic from its values in the
// replicates. Replicates without a value do not count.
func (s *sample) overBlocks(statistic func(sorted []float64) float64) float64 {
	if len(s.blocks) == 1 && s.values == 1 {
		return 0 // a figure that no draw changes
	}
	var of []float64
	for _, b := range s.blocks {
		if len(b) > 0 {
			of = append(of, statistic(b))
		}
	}
	if len(of) < 2 {
		return math.NaN()
	}
	return standardError(of)
}

// standardError is the standard deviation of at least two values ÷ √their number.
func standardError(of []float64) float64 {
	_, d := moments(of)
	return d / math.Sqrt(float64(len(of)))
}
