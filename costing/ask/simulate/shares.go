package simulate

import (
	"context"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// Share is how much of the variance of a figure is due to a factor.
type Share struct {
	// Inputs is one input, or all inputs of a group that are correlated: no share
	// of the variance belongs to one of them alone.
	Inputs []Figure
	// First is the part of the variance that would go if the factor were known:
	// what it does by itself. Total adds what it does together with others; it is
	// the part that would stay if all others were known. Estimates are raw: one
	// near zero may come out a little below it.
	First, Total Estimated
}

// Grouped reports whether the share is that of correlated inputs together.
func (s Share) Grouped() bool { return len(s.Inputs) > 1 }

// NearZero reports whether an estimate lies within two standard errors of zero.
func (e Estimated) NearZero() bool { return e.Value <= 2*e.Error }

// Partition shares the variance of a figure out.
type Partition struct {
	Figure
	// Variance of the figure, in its unit squared. Where it is 0, no input moves
	// the figure and there are no Shares; where no draw has a value it is NaN.
	Variance Estimated
	// Undefined counts the draws, of those of samples A and B in pairs, without a
	// value; the shares hold for the others.
	Undefined int
	Shares    []Share // the largest total first
}

// Partitions are the variance shares of each output.
type Partitions struct {
	Draws, Blocks int // per sample; 0 if no input is a range
	Held, Free    []Decision
	Outputs       []Partition
}

// Shares shares the variance of the outputs out over the ranges they rest on
// (Sobol). Draws of the request is the size of each of the two samples; with k
// factors every figure is computed at (k+2)·Draws points, and of the mixed ones
// only the figures that rest on the factor. Precision is not used. The errors are
// those of [Run].
func Shares(ctx context.Context, g *graph.Graph, r Request, progress func(done, total int)) (*Partitions, error) {
	if err := r.checkDraws(); err != nil {
		return nil, err
	}
	s, err := newSubject(g, &r)
	if err != nil {
		return nil, err
	}
	if len(s.inputs) == 0 {
		return s.partitions(nil, 0), ctx.Err()
	}
	plans, err := newSharePlans(ctx, s)
	if err != nil {
		return nil, err
	}
	blocks := r.blocks()
	sums := s.shareSums(len(plans.factors), blocks)
	tell := newProgress(blocks, column.Block, progress)
	p := &pool{progress: tell.blocks}
	for range r.cores(blocks) {
		p.runners = append(p.runners, shareRunner(ctx, plans.design(), sums))
	}
	if err := p.run(ctx, 0, blocks); err != nil {
		return nil, err
	}
	tell.end(blocks)
	return s.partitions(sums, blocks), nil
}

// shareRunner adds up one block of a design. It allocates nothing. As a block takes
// as many runs as there are factors, it looks at the context before each.
func shareRunner(ctx context.Context, d design, sums []*shareSums) blockRunner {
	return func(block int) error {
		if err := d.base(block); err != nil {
			return err
		}
		for o, s := range sums {
			s.addBase(block, d.a(o), d.b(o))
		}
		for f := range sums[0].mixed {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := d.mixed(f); err != nil {
				return err
			}
			for o, s := range sums {
				s.addMixed(block, f, d.a(o), d.b(o), d.ab(o))
			}
		}
		return nil
	}
}

func newShareSums(near float64, factors, blocks int) *shareSums {
	s := &shareSums{near: near, base: make([]baseSums, blocks), mixed: make([][]mixedSums, factors)}
	for f := range s.mixed {
		s.mixed[f] = make([]mixedSums, blocks)
	}
	return s
}

func (s *subject) shareSums(factors, blocks int) []*shareSums {
	var out []*shareSums
	for _, likely := range s.likely {
		out = append(out, newShareSums(likely.InexactFloat64(), factors, blocks))
	}
	return out
}

// partitions takes the shares from the sums of all outputs; nil sums where
// nothing varies.
func (s *subject) partitions(sums []*shareSums, blocks int) *Partitions {
	out := &Partitions{Draws: blocks * column.Block, Blocks: blocks, Held: s.held, Free: s.free}
	factors := s.factors()
	for o, id := range s.request.Outputs {
		p := Partition{Figure: figureOf(s.g, id)}
		if sums != nil {
			p.fill(s, sums[o], factors)
			p.Undefined = out.Draws - sums[o].rows()
		}
		out.Outputs = append(out.Outputs, p)
	}
	return out
}

func (p *Partition) fill(s *subject, sums *shareSums, factors [][]int) {
	mean, variance := sums.variance()
	if sums.constant(mean, variance) {
		return
	}
	if p.Variance = variance; !finite(variance.Value) {
		return
	}
	for f, members := range factors {
		var ids []graph.ID
		for _, m := range members {
			ids = append(ids, s.inputs[m].id)
		}
		share := Share{Inputs: figuresOf(s.g, ids)}
		share.First, share.Total = sums.shares(f, mean, variance.Value)
		p.Shares = append(p.Shares, share)
	}
	slices.SortStableFunc(p.Shares, byTotal)
}

// byTotal puts the larger total first; ties stay in the order of their keys.
func byTotal(a, b Share) int {
	switch {
	case a.Total.Value > b.Total.Value:
		return -1
	case a.Total.Value < b.Total.Value:
		return 1
	}
	return 0
}

// factors lists the inputs of each factor: one by itself, or a correlated group,
// by the key of the first.
func (s *subject) factors() [][]int {
	var out [][]int
	for i, in := range s.inputs {
		switch {
		case in.group < 0:
			out = append(out, []int{i})
		case s.groups[in.group].members[0] == i:
			out = append(out, s.groups[in.group].members)
		}
	}
	return out
}
