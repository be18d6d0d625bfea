package simulate

import (
	"math"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/ask/shape"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// TestThreePointEstimates draws ranges of three points. The formula of triangular
// quantiles is that of source `triangular-variates`, that of Beta-PERT of source
// `beta-pert`; the numbers are own arithmetic.
func TestThreePointEstimates(t *testing.T) {
	t.Parallel()
	w := write(t)
	cases := []struct {
		id        graph.ID
		mean, sd  float64
		quantiles [5]float64 // P10 P50 P80 P90 P95
	}{
		{w.triangle("t8", "8", "10", "15"), 11, 1.471960, [5]float64{9.183216, 10.816700, 12.354249, 13.129171, 13.677124}},
		{w.shaped("p8", bom.Pert, "8", "10", "15"), 10.5, 1.267731, [5]float64{8.904353, 10.382589, 11.625880, 12.272703, 12.773921}},
		{w.triangle("t1", "1", "3", "6"), 10.0 / 3, 1.027402, [5]float64{2.0, 3.261387, 4.267949, 4.775255, 5.133975}},
		{w.shaped("p1", bom.Pert, "1", "3", "6"), 19.0 / 6, 0.936474, [5]float64{1.943096, 3.127354, 4.015911, 4.449448, 4.772258}},
		{w.triangle("t10", "10", "12", "20"), 14, math.Sqrt(14.0 / 3), [5]float64{11.414214, 13.675445, 16.0, 17.171573, 18.0}},
	}
	var outputs []graph.ID
	for _, c := range cases {
		outputs = append(outputs, c.id)
	}
	g := w.done()
	r := run(t, g, Request{Outputs: outputs, Draws: 100_000})
	for i, c := range cases {
		o, name := r.Outputs[i], g.Node(c.id).Key
		// One range alone lies on a hypercube of one dimension: hardly any error.
		within(t, name+" mean", o.Mean, c.mean, 5, 1e-6)
		within(t, name+" deviation", o.Deviation, c.sd, 5, 1e-5)
		for j, want := range c.quantiles {
			within(t, name+" quantile", o.Quantiles[j+1].Estimate, want, 5, 1e-3)
		}
	}
}

// TestSumOfThreeLines, own arithmetic: mean 41, deviation √8, exact quantiles by
// convolution, and the "most likely" total of 37 suffices in 6.97 % of cases only.
func TestSumOfThreeLines(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	o := run(t, g, Request{Outputs: ids(total), Draws: 150_000}).Outputs[0]
	if o.Likely.String() != "37" {
		t.Errorf("likely %s", o.Likely)
	}
	within(t, "mean", o.Mean, 41, 4, 1e-5)
	within(t, "deviation", o.Deviation, math.Sqrt(8), 4, 1e-4)
	for p, want := range map[int]float64{1: 37.433, 2: 40.826, 3: 43.438, 4: 44.823, 5: 45.941} {
		within(t, "quantile", o.Quantiles[p].Estimate, want, 4, 5e-4)
	}
	within(t, "chance of 37", o.AtMost(37), 0.0697, 4, 5e-5)
	if q := o.Quantiles[3]; q.Error > 0.012 {
		t.Errorf("P80 is known to %v only", q.Error)
	}
}

// TestCorrelatedLines: own arithmetic gives a deviation of 3.886262 for a
// linear correlation of 0.5 between all three lines. Ours is a rank correlation of
// 0.5 through normal scores, which for triangular lines makes a linear one of
// 0.5064 to 0.5080 and a deviation of 3.8999, integrated here. It must lie between
// that of evenly spread lines, whose linear correlation is the rank correlation,
// and that of normal ones, where it is 2 sin(π/12) = 0.5176 and the deviation
// √(8 + 0.5176·(4.712330² − 8)) = 3.9184.
func TestCorrelatedLines(t *testing.T) {
	t.Parallel()
	g, total, lines := lines(t)
	pairs := []Correlation{{A: lines[0], B: lines[1], Rank: 0.5}, {A: lines[1], B: lines[2], Rank: 0.5}, {A: lines[2], B: lines[0], Rank: 0.5}}
	variance := 8.0
	for _, p := range pairs {
		a, b := shape.Of(g.Node(p.A)), shape.Of(g.Node(p.B))
		variance += 2 * copulaCovariance(a, b, 2*math.Sin(math.Pi/12))
	}
	exact := math.Sqrt(variance)
	t.Logf("deviation with rank correlations of 0.5: %.6f", exact)
	if exact < 3.886262 || exact > 3.9184 {
		t.Errorf("deviation %.6f is not between those of linear correlations 0.5 and 0.5176", exact)
	}
	o := run(t, g, Request{Outputs: ids(total), Draws: 60_000, Correlations: pairs}).Outputs[0]
	within(t, "deviation", o.Deviation, exact, 4, 1e-4)
	within(t, "mean", o.Mean, 41, 4, 1e-3)
	independent := run(t, g, Request{Outputs: ids(total), Draws: 60_000}).Outputs[0]
	if o.Quantiles[3].Value <= independent.Quantiles[3].Value {
		t.Error("P80 does not rise with the correlation")
	}
}

// copulaCovariance integrates the covariance of two ranges whose normal scores
// correlate by r, on a grid of equal shares.
func copulaCovariance(a, b shape.Spread, r float64) float64 {
	const n = 400
	meanA, meanB, both := 0.0, 0.0, 0.0
	for i := range n {
		z := score((float64(i) + 0.5) / n)
		x := a.Quantile(chance(z))
		meanA += x / n
		for j := range n {
			y := score((float64(j) + 0.5) / n)
			v := b.Quantile(chance(r*z + math.Sqrt(1-r*r)*y))
			meanB += v / (n * n)
			both += x * v / (n * n)
		}
	}
	return both - meanA*meanB
}

// TestNearlyComonotoneLines: with correlation 1 the deviations add up, 4.712330,
// and so do the quantiles, P80 45.354249 (own arithmetic); 0.9999 is as near
// as two inputs may come.
func TestNearlyComonotoneLines(t *testing.T) {
	t.Parallel()
	g, total, lines := lines(t)
	o := run(t, g, Request{Outputs: ids(total), Draws: 100_000, Correlations: []Correlation{
		{A: lines[0], B: lines[1], Rank: 0.9999}, {A: lines[1], B: lines[2], Rank: 0.9999}, {A: lines[2], B: lines[0], Rank: 0.9999}}}).Outputs[0]
	within(t, "deviation", o.Deviation, 4.712330, 4, 2e-3)
	within(t, "P80", o.Quantiles[3].Estimate, 45.354249, 4, 5e-3)
}

// rootSumSquare sums independent normal inputs.
func rootSumSquare(t *testing.T, mean string, sds ...string) (*graph.Graph, graph.ID) {
	w := write(t)
	terms := ids(w.constant("value", mean))
	for _, sd := range sds {
		terms = append(terms, w.normal("sd-"+sd, "0", sd))
	}
	sum := w.Add("sum", "sum", terms...)
	return w.done(), sum
}

// TestRootSumOfSquares: deviations 3, 4, 12 make 13, and
// quantiles are those of a normal curve.
func TestRootSumOfSquares(t *testing.T) {
	t.Parallel()
	g, sum := rootSumSquare(t, "100", "3", "4", "12")
	o := run(t, g, Request{Outputs: ids(sum), Draws: 60_000}).Outputs[0]
	within(t, "mean", o.Mean, 100, 4, 1e-3)
	within(t, "deviation", o.Deviation, 13, 4, 1e-3)
	for i, z := range []float64{-1.6448536, -1.2815516, 0, 0.8416212, 1.2815516, 1.6448536} {
		within(t, "quantile", o.Quantiles[i].Estimate, 100+13*z, 4, 2e-3)
	}
}

// TestGaugeBlock is example H1 of the guide to uncertainty, source `gauge-block`:
// components in nm make 31.6639, with shares of variance of 62.3, 27.5, 4.5, 3.4,
// 1.5 and 0.8 %.
func TestGaugeBlock(t *testing.T) {
	t.Parallel()
	sds := []string{"25", "16.599", "6.7", "5.8", "3.9", "2.88679"}
	g, sum := rootSumSquare(t, "50000838", sds...)
	r := Request{Outputs: ids(sum), Draws: 60_000}
	o := run(t, g, r).Outputs[0]
	if o.Likely.String() != "50000838" {
		t.Errorf("value %s", o.Likely)
	}
	within(t, "deviation", o.Deviation, 31.6639, 4, 1e-3)
	p := shared(t, g, sum, r)
	for i, want := range []float64{0.623, 0.275, 0.045, 0.034, 0.015, 0.008} {
		share := p.Shares[i]
		if g.Node(share.Inputs[0]).Key != "sd-"+sds[i] {
			t.Errorf("rank %d is %s", i, g.Node(share.Inputs[0]).Key)
		}
		within(t, "first", share.First, want, 4, 5e-4)
		within(t, "total", share.Total, want, 4, 5e-4)
	}
}

// TestCriticalPath draws the critical paths of three PERT networks as the classic
// method takes them: a sum of independent activities with mean (a+4m+b)/6 and
// deviation (b−a)/6, normal in total. The first is that of
// source `critical-path-chapter`, the activity means of the third are those of source
// `critical-path-slides`; the rest is own arithmetic. It is the classic
// approximation; the ranges of a book are drawn by their own shape.
func TestCriticalPath(t *testing.T) {
	t.Parallel()
	type activity struct{ a, m, b float64 }
	for name, c := range map[string]struct {
		path                           []activity
		mean, variance, within, chance float64
	}{
		"first":  {[]activity{{5, 8, 17}, {3, 5, 7}, {4, 6, 8}, {3, 4, 5}}, 24, 5.0, 28, 0.9632},
		"second": {[]activity{{5, 5, 7}, {5, 5, 5}, {1, 10, 17}, {4, 4, 6}, {2, 7, 10}, {6, 10, 13}, {2, 2, 3}, {7, 7, 12}}, 50.8333, 11.1944, 55, 0.8935},
		"third":  {[]activity{{3, 6, 15}, {6, 12, 30}, {5, 11, 17}, {1, 4, 7}, {4, 19, 28}}, 54, 41, 53, 0.4379},
	} {
		w := write(t)
		var terms []graph.ID
		for i, v := range c.path {
			id := string(rune('a' + i))
			mean, sd := short((v.a+4*v.m+v.b)/6), short((v.b-v.a)/6)
			if sd == "0" {
				terms = append(terms, w.constant(id, mean))
			} else {
				terms = append(terms, w.normal(id, mean, sd))
			}
		}
		sum := w.Add("sum", "sum", terms...)
		o := run(t, w.done(), Request{Outputs: ids(sum), Draws: 60_000}).Outputs[0]
		within(t, name+" mean", o.Mean, c.mean, 4, 5e-4)
		within(t, name+" deviation", o.Deviation, math.Sqrt(c.variance), 4, 5e-4)
		within(t, name+" chance", o.AtMost(c.within), c.chance, 4, 1e-4)
	}
}

// TestStandardErrorsAreRight runs 400 seeds of the three lines: the spread of the
// estimates over the seeds must be what one run states about itself, and their
// mean the true value. With 400 seeds a variance is known to 7 %.
func TestStandardErrorsAreRight(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	type statistic struct {
		want, bias float64
		take       func(o *Output) Estimate
		tally
	}
	quantile := func(i int) func(o *Output) Estimate {
		return func(o *Output) Estimate { return o.Quantiles[i].Estimate }
	}
	all := map[string]*statistic{
		"P10":       {want: 37.433, bias: 1e-3, take: quantile(1)},
		"P50":       {want: 40.826, bias: 1e-3, take: quantile(2)},
		"P80":       {want: 43.438, bias: 1e-3, take: quantile(3)},
		"P95":       {want: 45.941, bias: 1e-3, take: quantile(5)},
		"deviation": {want: math.Sqrt(8), bias: 1e-3, take: func(o *Output) Estimate { return o.Deviation }},
		"mean":      {want: 41, bias: 1e-5, take: func(o *Output) Estimate { return o.Mean }},
		"share":     {want: 0.0697, bias: 1e-4, take: func(o *Output) Estimate { return o.AtMost(37) }},
	}
	const seeds = 400
	for seed := range uint64(seeds) {
		o := run(t, g, Request{Outputs: ids(total), Draws: 10 * column.Block, Seed: seed}).Outputs[0]
		for _, s := range all {
			s.add(s.take(&o), s.want)
		}
	}
	for name, s := range all {
		s.holds(t, name, 0.75, 1.33, s.bias)
	}
}

// tally holds the standard errors that a statistic states to the spread of its
// estimates.
type tally struct {
	n, sum, squares float64 // of the difference from what is true
	stated          float64 // sum of squared standard errors
}

func (s *tally) add(e Estimate, want float64) {
	s.n++
	s.sum += e.Value - want
	s.squares += (e.Value - want) * (e.Value - want)
	s.stated += e.Error * e.Error
}

// holds wants the stated variance to be within some times of the observed one, and
// the mean to be true but for a bias.
func (s *tally) holds(t *testing.T, name string, least, most, bias float64) {
	t.Helper()
	mean := s.sum / s.n
	observed := s.squares/s.n - mean*mean
	ratio := s.stated / s.n / observed
	t.Logf("%s: stated variance is %.3f of the observed one, off by %.2g", name, ratio, mean)
	if ratio < least || ratio > most {
		t.Errorf("%s: the stated variance is %.3f times the observed one", name, ratio)
	}
	if math.Abs(mean) > 4*math.Sqrt(observed/s.n)+bias {
		t.Errorf("%s: off by %v on average", name, mean)
	}
}
