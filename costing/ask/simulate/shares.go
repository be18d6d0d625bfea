package simulate

import (
	"cmp"
	"context"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// Share is how much of the variance of a figure is due to a factor.
type Share struct {
	// Inputs is one input, or all inputs of a group that are correlated: no share
	// of the variance belongs to one of them alone. Others says that they are those
	// that are not wanted apart.
	Inputs []graph.ID
	Others bool
	// First is the part of the variance that would go if the factor were known:
	// what it does by itself. Total adds what it does together with others; it is
	// the part that would stay if all others were known. Estimates are raw: one
	// near zero may come out a little below it.
	First, Total Estimate
}

// NearZero reports whether an estimate lies within two standard errors of zero.
func (e Estimate) NearZero() bool { return e.Value <= 2*e.Error }

// Partition shares the variance of a figure out.
type Partition struct {
	Draws int // in each of the two samples; 0 if no input is a range
	// Variance of the figure, in its unit squared. Where it is 0, no input moves
	// the figure and there are no Shares; where no draw has a value it is NaN.
	Variance Estimate
	// Undefined counts the draws, of those of samples A and B in pairs, without a
	// value; the shares hold for the others.
	Undefined int
	Shares    []Share // the largest total first; ties in the order of their keys
}

// Shares shares the variance of a figure out over the ranges it rests on (Sobol).
// Draws of the request is the size of each of the two samples; with k factors (see
// Request.Apart) the
// figure is computed at (k+2)·Draws points, and of the mixed ones only what rests
// on the factor. Outputs and Precision are not used. The errors are those of [Run].
func Shares(ctx context.Context, e *exact.Evaluator, figure graph.ID, r Request, progress func(done, total int)) (*Partition, error) {
	r.Outputs = []graph.ID{figure}
	if err := r.checkDraws(); err != nil {
		return nil, err
	}
	s, err := newSubject(e, &r)
	if err != nil {
		return nil, err
	}
	if len(s.inputs) == 0 {
		return &Partition{}, ctx.Err()
	}
	plans, err := newSharePlans(ctx, s)
	if err != nil {
		return nil, err
	}
	blocks := r.blocks()
	sums := newShareSums(s.likely[0].InexactFloat64(), len(plans.factors), blocks)
	var runners []blockRunner
	for range cores(blocks) {
		runners = append(runners, shareRunner(ctx, plans.design(), sums))
	}
	if err := doBlocks(ctx, runners, 0, blocks, hundredths(blocks, progress)); err != nil {
		return nil, err
	}
	progress(blocks*column.Block, blocks*column.Block)
	out := &Partition{Draws: blocks * column.Block}
	out.fill(s, sums)
	return out, nil
}

// shareRunner adds up one block of a design. It allocates nothing. As a block takes
// as many runs as there are factors, it looks at the context before each.
func shareRunner(ctx context.Context, d design, sums *shareSums) blockRunner {
	return func(block int) error {
		a, b, err := d.base(block)
		if err != nil {
			return err
		}
		sums.addBase(block, a, b)
		for f := range sums.mixed {
			if err := ctx.Err(); err != nil {
				return err
			}
			ab, err := d.mixed(f)
			if err != nil {
				return err
			}
			sums.addMixed(block, f, a, b, ab)
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

// fill takes the shares from the sums.
func (p *Partition) fill(s *subject, sums *shareSums) {
	p.Undefined = p.Draws - sums.rows()
	mean, variance := sums.variance()
	if sums.constant(mean, variance) {
		return
	}
	if p.Variance = variance; !finite(variance.Value) {
		return
	}
	for f, factor := range s.factors() {
		share := Share{Others: factor.others}
		for _, m := range factor.members {
			share.Inputs = append(share.Inputs, s.inputs[m].id)
		}
		share.First, share.Total = sums.shares(f, mean, variance.Value)
		p.Shares = append(p.Shares, share)
	}
	slices.SortStableFunc(p.Shares, func(a, b Share) int { return cmp.Compare(b.Total.Value, a.Total.Value) })
}

// factor is inputs whose share is estimated together.
type factor struct {
	members []int // indexes in subject.inputs
	others  bool  // all that are not wanted apart
}

// factors lists them: an input by itself, or a correlated group, by the key of the first,
// and last all others.
func (s *subject) factors() []factor {
	var out []factor
	var others factor
	apart := func(members []int) bool {
		return s.request.Apart == nil || slices.ContainsFunc(members, func(m int) bool { return slices.Contains(s.request.Apart, s.inputs[m].id) })
	}
	for i, in := range s.inputs {
		members := []int{i}
		if in.group >= 0 {
			members = s.groups[in.group].members
		}
		switch {
		case members[0] != i: // with the first of its group
		case apart(members):
			out = append(out, factor{members: members})
		default:
			others.members = append(others.members, members...)
		}
	}
	if n := len(others.members); n > 0 {
		others.others = n > 1
		out = append(out, others)
	}
	return out
}
