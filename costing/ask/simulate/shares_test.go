package simulate

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// function is a design of a plain function of uniform numbers, for functions that
// no graph can hold.
type function struct {
	f    func(x []float64) float64
	seed uint64
	x, y [][]float64 // samples A and B, per factor
	out  [3][]float64
}

func newFunction(seed uint64, factors int, f func(x []float64) float64) *function {
	d := &function{f: f, seed: seed}
	for range factors {
		d.x, d.y = append(d.x, make([]float64, column.Block)), append(d.y, make([]float64, column.Block))
	}
	for i := range d.out {
		d.out[i] = make([]float64, column.Block)
	}
	return d
}

func (d *function) base(block int) (a, b []float64, err error) {
	for i := range d.x {
		stratified(streamOf(d.seed, saltDraws, block, uint64(i)), d.x[i])
		stratified(streamOf(d.seed, saltOther, block, uint64(i)), d.y[i])
	}
	return d.compute(0, d.x), d.compute(1, d.y), nil
}

func (d *function) mixed(factor int) (ab []float64, err error) {
	mix := append([][]float64(nil), d.x...)
	mix[factor] = d.y[factor]
	return d.compute(2, mix), nil
}

func (d *function) compute(to int, columns [][]float64) []float64 {
	x := make([]float64, len(columns))
	for j := range d.out[to] {
		for i, c := range columns {
			x[i] = c[j]
		}
		d.out[to][j] = d.f(x)
	}
	return d.out[to]
}

// estimated runs a design and gives its shares.
func estimated(t *testing.T, d design, factors, blocks int) (variance Estimate, first, total []Estimate) {
	t.Helper()
	sums := newShareSums(0, factors, blocks)
	do := shareRunner(t.Context(), d, sums)
	for b := range blocks {
		if err := do(b); err != nil {
			t.Fatal(err)
		}
	}
	mean, variance := sums.variance()
	for f := range factors {
		s, e := sums.shares(f, mean, variance.Value)
		first, total = append(first, s), append(total, e)
	}
	return variance, first, total
}

// near holds an estimate to its true value within four standard errors, which are
// small.
func near(t *testing.T, name string, got Estimate, want float64) {
	t.Helper()
	within(t, name, got, want, 4, 1e-9)
	if got.Error > 0.02*max(1, want) {
		t.Errorf("%s is known to %.2g only", name, got.Error)
	}
}

// TestIshigami is sin x₁ + 7 sin² x₂ + 0.1 x₃⁴ sin x₁, each x from −π to π
// (Ishigami and Homma 1990; from memory). By hand: sin has mean 0 and variance ½,
// sin² variance 1/8, and with b = 0.1 the mean of 1 + b·x₃⁴ is 1 + bπ⁴/5, that of
// its square 1 + 2bπ⁴/5 + b²π⁸/9. So
//
//	V₁ = ½(1 + bπ⁴/5)²,  V₂ = 7²/8,  V₁₃ = ½b²π⁸(1/9 − 1/25) = 8b²π⁸/225,
//
// and nothing else. A known book misprints V₁₃.
func TestIshigami(t *testing.T) {
	t.Parallel()
	const b = 0.1
	p4 := math.Pow(math.Pi, 4)
	v1, v2, v13 := (1+b*p4/5)*(1+b*p4/5)/2, 49.0/8, 8*b*b*p4*p4/225
	v := v1 + v2 + v13
	if math.Abs(v-(49.0/8+b*p4/5+b*b*p4*p4/18+0.5)) > 1e-12 {
		t.Fatal("the parts do not add up to the variance in closed form")
	}
	variance, first, total := estimated(t, newFunction(1, 3, func(u []float64) float64 {
		x := [3]float64{}
		for i := range x {
			x[i] = math.Pi * (2*u[i] - 1)
		}
		return math.Sin(x[0]) + 7*math.Pow(math.Sin(x[1]), 2) + b*math.Pow(x[2], 4)*math.Sin(x[0])
	}), 3, 40)
	near(t, "variance", variance, v)
	for i, want := range []struct{ first, total float64 }{{v1 / v, (v1 + v13) / v}, {v2 / v, v2 / v}, {0, v13 / v}} {
		near(t, "first", first[i], want.first)
		near(t, "total", total[i], want.total)
	}
}

// gShares are the shares of Sobol's G, the product of (|4x−2| + a)/(1 + a): each
// factor has mean 1 and variance 1/(3(1+a)²), for |4x−2| is uniform from 0 to 2.
func gShares(a []float64) (variance float64, first, total []float64) {
	all := 1.0
	for _, ai := range a {
		all *= 1 + 1/(3*(1+ai)*(1+ai))
	}
	variance = all - 1
	for _, ai := range a {
		v := 1 / (3 * (1 + ai) * (1 + ai))
		first, total = append(first, v/variance), append(total, v*all/(1+v)/variance)
	}
	return variance, first, total
}

// TestSobolG runs Sobol's G (Sobol 1993; from memory) in a graph.
func TestSobolG(t *testing.T) {
	t.Parallel()
	texts := []string{"0", "1", "4.5", "9", "99"}
	w := write(t)
	two, four, one := w.constant("two", "2"), w.constant("four", "4"), w.constant("one", "1")
	var terms []graph.ID
	var as []float64
	for _, text := range texts {
		in, a, x := w.In("x"+text), w.constant("a"+text, text), w.shaped("x"+text, bom.Uniform, "0", "0.5", "1")
		wide := in.Multiply("wide", "4x", four, x)
		size := in.Maximum("size", "|4x−2|", in.Subtract("up", "4x−2", wide, two), in.Subtract("down", "2−4x", two, wide))
		terms = append(terms, in.Divide("term", "term", in.Add("above", "|4x−2| + a", size, a), in.Add("below", "1 + a", one, a)))
		as = append(as, dec(text).InexactFloat64())
	}
	of := w.Multiply("g", "Sobol's G", terms...)
	g := w.done()
	p := shared(t, g, of, Request{Draws: 100_000})
	variance, first, total := gShares(as)
	near(t, "variance", p.Variance, variance)
	for i, share := range p.Shares { // the totals fall as a rises
		if g.Node(share.Inputs[0]).Key != "x"+texts[i] || len(share.Inputs) != 1 {
			t.Errorf("rank %d is %v", i, share.Inputs)
		}
		near(t, "first of x"+texts[i], share.First, first[i])
		near(t, "total of x"+texts[i], share.Total, total[i])
	}
	if last := p.Shares[len(texts)-1]; last.First.Value > 1e-3 || !last.First.NearZero() {
		t.Errorf("a factor that does next to nothing has %v", last.First)
	}
}

// TestSharesOfAProduct: of independent x·y the variance is v·n² + w·m² + v·w,
// means m, n and variances v, w. Here x is uniform from 0 to 2 (m 1, v 1/3) and y
// from 1 to 5 (n 3, w 4/3): 3 + 4/3 + 4/9 = 43/9.
func TestSharesOfAProduct(t *testing.T) {
	t.Parallel()
	w := write(t)
	x, y := w.shaped("x", bom.Uniform, "0", "1", "2"), w.shaped("y", bom.Uniform, "1", "2", "5")
	out := w.Multiply("out", "out", x, y)
	shares := shared(t, w.done(), out, Request{Draws: 100_000}).Shares
	near(t, "first of x", shares[0].First, 27.0/43)
	near(t, "total of x", shares[0].Total, 31.0/43)
	near(t, "first of y", shares[1].First, 12.0/43)
	near(t, "total of y", shares[1].Total, 16.0/43)
}

// TestCorrelatedInputsShareTogether gives the pair one share and never one each.
func TestCorrelatedInputsShareTogether(t *testing.T) {
	t.Parallel()
	g, total, of := lines(t)
	p := shared(t, g, total, Request{Draws: 100_000, Correlations: []Correlation{{of[0], of[2], 0.5}}})
	shares := p.Shares
	if len(shares) != 2 || !slices.Equal(shares[0].Inputs, ids(of[0], of[2])) || !slices.Equal(shares[1].Inputs, ids(of[1])) {
		t.Fatalf("shares %v", shares)
	}
	// b is independent of both, with variance 7/6 of 18ths: 21/18.
	wantB := 21.0 / 18 / p.Variance.Value
	near(t, "first of b", shares[1].First, wantB)
	near(t, "total of b", shares[1].Total, wantB)
	near(t, "first of a and c", shares[0].First, 1-wantB)
	near(t, "total of a and c", shares[0].Total, 1-wantB)
	if p.Variance.Value < 8*1.2 {
		t.Errorf("variance %v does not rise with the correlation", p.Variance.Value)
	}
}

// TestConstantOfRanges: a figure that rests on a range and is always the same has
// no variance and no shares.
func TestConstantOfRanges(t *testing.T) {
	t.Parallel()
	w := write(t)
	out := w.Add("out", "out", w.Whole("whole", "whole", w.triangle("x", "0.1", "0.2", "0.9")), w.constant("c", "0.1"))
	if p := shared(t, w.done(), out, Request{Draws: 1}); p.Variance != (Estimate{}) || p.Shares != nil {
		t.Errorf("%+v", p)
	}
}

// TestSharesWithUndefinedDraws counts them and keeps the others.
func TestSharesWithUndefinedDraws(t *testing.T) {
	t.Parallel()
	variance, first, _ := estimated(t, newFunction(1, 2, func(u []float64) float64 {
		if u[0] < 0.25 {
			return math.NaN()
		}
		return u[0] + u[1]
	}), 2, 40)
	near(t, "variance", variance, 0.75*0.75/12+1.0/12)
	near(t, "first of the second", first[1], 1/(1+0.75*0.75))
}

// TestSharesDoNotSeeTheLevel: a constant added to a function changes no share, nor
// how well it is known.
func TestSharesDoNotSeeTheLevel(t *testing.T) {
	t.Parallel()
	at := func(level float64) (first, total []Estimate) {
		_, first, total = estimated(t, newFunction(1, 2, func(u []float64) float64 { return level + u[0]*u[1] }), 2, 20)
		return first, total
	}
	first, total := at(0)
	high, highTotal := at(1e5)
	for i := range first {
		for _, pair := range [][2]Estimate{{first[i], high[i]}, {total[i], highTotal[i]}} {
			if math.Abs(pair[0].Value-pair[1].Value) > 1e-4 || math.Abs(pair[0].Error-pair[1].Error) > 1e-4 {
				t.Errorf("factor %d: %v, on a higher level %v", i, pair[0], pair[1])
			}
		}
	}
}

// TestErrorsOfSharesAreRight runs 200 seeds of a product of three factors of means
// 1 and variances 1/3, 1/12 and 1/300, and holds the stated standard errors to the
// spread of the estimates. With 200 seeds a variance is known to 10 %.
func TestErrorsOfSharesAreRight(t *testing.T) {
	t.Parallel()
	half := []float64{1, 0.5, 0.1}
	all := (1 + 1.0/3) * (1 + 1.0/12) * (1 + 1.0/300)
	var firsts, totals [3]tally
	want := func(i int) (first, total float64) {
		v := half[i] * half[i] / 3
		return v / (all - 1), v / (all - 1) * all / (1 + v)
	}
	for seed := range uint64(200) {
		_, first, total := estimated(t, newFunction(seed, 3, func(u []float64) float64 {
			out := 1.0
			for i, h := range half {
				out *= 1 + h*(2*u[i]-1)
			}
			return out
		}), 3, 10)
		for i := range half {
			f, e := want(i)
			firsts[i].add(first[i], f)
			totals[i].add(total[i], e)
		}
	}
	for i := range half {
		f, e := want(i)
		firsts[i].holds(t, fmt.Sprint("first of ", i), 0.65, 1.5, 2e-3*f)
		totals[i].holds(t, fmt.Sprint("total of ", i), 0.65, 1.5, 2e-3*e)
	}
}

// TestConesComputeTheSame compares the mixed sample, of which only the figures in
// a factor's cone are computed, with the whole graph computed on it.
func TestConesComputeTheSame(t *testing.T) {
	t.Parallel()
	e := glow(t)
	full := e.Variants[0].Full
	for name, change := range map[string]func(*Request, *subject){
		"plain":     func(*Request, *subject) {},
		"hindsight": func(r *Request, _ *subject) { r.Hindsight = true },
		"group": func(r *Request, s *subject) {
			r.Correlations = []Correlation{{s.inputs[1].id, s.inputs[4].id, 0.7}, {s.inputs[4].id, s.inputs[6].id, 0.3}}
		},
	} {
		r := &Request{Outputs: ids(full), Draws: 1, Seed: 3}
		change(r, subjectOf(t, e.Graph, r))
		compareCones(t, name, subjectOf(t, e.Graph, r))
	}
}

func compareCones(t *testing.T, name string, s *subject) {
	t.Helper()
	plans, err := newSharePlans(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	full, err := column.New(s.g, s.options(s.ids(), s.request.Outputs))
	if err != nil {
		t.Fatal(err)
	}
	d, c := plans.design(), full.Columns()
	for block := range 2 {
		if _, _, err := d.base(block); err != nil {
			t.Fatal(err)
		}
		for f, factor := range s.factors() {
			for i := range s.inputs {
				c.Bind(i, d.onA.u[i])
			}
			for _, m := range factor.members {
				c.Bind(m, d.onB.u[m])
			}
			if err := c.Run(column.Block); err != nil {
				t.Fatal(err)
			}
			got, err := d.mixed(f)
			if err != nil {
				t.Fatal(err)
			}
			for i, v := range got {
				if want := c.Out(0)[i]; math.Abs(v-want) > 1e-12*math.Abs(want) {
					t.Fatalf("%s: factor %d, draw %d: %v, want %v", name, f, i, v, want)
				}
			}
		}
	}
}

// TestBlocksAllocateNothing runs the inner work of draws and of shares.
func TestBlocksAllocateNothing(t *testing.T) {
	e := glow(t)
	r := &Request{Outputs: ids(e.Variants[0].Full), Draws: 1}
	inputs := subjectOf(t, e.Graph, r).inputs
	r.Correlations = []Correlation{{inputs[0].id, inputs[2].id, 0.4}}
	s := subjectOf(t, e.Graph, r)
	d, err := newDrawing(s, s.request.blocks(), nil)
	if err != nil {
		t.Fatal(err)
	}
	plans, err := newSharePlans(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	for name, do := range map[string]blockRunner{
		"draws":  d.runners[0],
		"shares": shareRunner(t.Context(), plans.design(), newShareSums(0, len(plans.factors), 10)),
	} {
		if n := testing.AllocsPerRun(5, func() {
			if err := do(3); err != nil {
				t.Fatal(err)
			}
		}); n != 0 {
			t.Errorf("%s: %v allocations per block", name, n)
		}
	}
}

// TestOthersTogether: of a sum of inputs that are independent the share of several is the
// sum of their shares; those kept apart have the share they have when all are.
func TestOthersTogether(t *testing.T) {
	t.Parallel()
	w := write(t)
	var of []graph.ID
	for i, high := range []string{"10", "7", "5", "3", "2"} {
		of = append(of, w.shaped(string(rune('a'+i)), bom.Uniform, "1", "1", high))
	}
	total := w.Add("total", "total", of...)
	g := w.done()
	together := []Correlation{{A: of[1], B: of[2], Rank: 0.5}}
	for _, c := range []struct {
		by     []Correlation
		apart  []graph.ID
		others []graph.ID
		share  float64
	}{
		{nil, of[:2], of[2:], (16. + 4 + 1) / (81 + 36 + 16 + 4 + 1)},
		{together, of[2:3], []graph.ID{of[0], of[3], of[4]}, math.NaN()},
		{nil, []graph.ID{}, of, 1},
	} {
		r := Request{Draws: 20_000, Correlations: c.by}
		all := shared(t, g, total, r)
		r.Apart = c.apart
		got := shared(t, g, total, r)
		at := slices.IndexFunc(got.Shares, func(s Share) bool { return s.Others })
		others := got.Shares[at]
		if !slices.Equal(others.Inputs, c.others) {
			t.Errorf("others are %v, want %v", others.Inputs, c.others)
		}
		if !math.IsNaN(c.share) {
			within(t, "share of the others", others.Total, c.share, 4, 1e-3)
			within(t, "first of the others", others.First, c.share, 4, 1e-3)
		}
		for _, s := range slices.Delete(got.Shares, at, at+1) {
			if !slices.ContainsFunc(all.Shares, func(a Share) bool {
				return slices.Equal(a.Inputs, s.Inputs) && a.First == s.First && a.Total == s.Total
			}) {
				t.Errorf("%v has other shares than when all are apart", s.Inputs)
			}
		}
	}
	r := Request{Draws: 2000, Apart: of[:4]}
	if got := shared(t, g, total, r); len(got.Shares) != 5 || slices.ContainsFunc(got.Shares, func(s Share) bool { return s.Others }) {
		t.Errorf("one that is left is by itself: %+v", got.Shares)
	}
}
