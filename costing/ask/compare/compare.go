package compare

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// limits bound the work.
type limits struct {
	few       int     // the most changed inputs that are shared out over all subsets
	tolerance float64 // when the shares along the way count as settled
	most      int     // evaluations along the way
}

var everyday = limits{few: 8, tolerance: 1e-3, most: 400_000}

// Between says why the headline after differs from the one before. The error is a
// [*FigureError] or an [*EvaluateError], or that of the context.
func Between(ctx context.Context, before, after Side) (*Result, error) {
	return between(ctx, before, after, everyday)
}

func between(ctx context.Context, before, after Side, l limits) (*Result, error) {
	b, a, err := pair(before, after)
	if err != nil {
		return nil, err
	}
	sizes := []decimal.Decimal{b.value, a.value, decimal.New(1, 0)}
	for _, l := range slices.Concat(b.lines, a.lines) {
		sizes = append(sizes, l.value)
	}
	c := &comparison{before: b, after: a, limits: l, scale: size(sizes)}
	known := map[string]int{}
	c.was, c.is = b.classes(known), a.classes(known)
	return c.result(ctx)
}

// comparison is a comparison under way.
type comparison struct {
	limits        limits
	before, after *side
	was, is       []int           // classes of the figures: those of one class have the same structure
	scale         decimal.Decimal // the size of all lines of both sides together, and at least one unit
}

func (c *comparison) result(ctx context.Context) (*Result, error) {
	b, a := c.before, c.after
	r := &Result{Before: b.figure(b.top), After: a.figure(a.top), Difference: difference(b.value, a.value),
		Alike: c.was[b.top] == c.is[a.top]}
	lines := c.lines()
	shares := make([]decimal.Decimal, len(lines))
	for i, l := range lines {
		shares[i] = l.Share
	}
	if err := addUp("the headline by lines", shares, r.Difference, c.scale, lineDigits); err != nil {
		return nil, err
	}
	for i := range lines {
		lines[i].Share = shares[i]
		r.Lines = append(r.Lines, lines[i].Line)
	}
	if err := c.share(ctx, r, lines); err != nil {
		return nil, err
	}
	r.Same = r.Difference.IsZero() && len(r.Shares) == 0
	return r, nil
}

// figure describes a figure of a side.
func (s *side) figure(id graph.ID) Figure {
	n := s.g.Node(id)
	f := Figure{Key: n.Key, Of: n.Of, Label: n.Label, Unit: n.Unit}
	f.Value, _ = s.values.Raw(id)
	if n.Decision != nil {
		if i := f.Value.IntPart(); f.Value.IsInteger() && i >= 1 && int(i) <= len(n.Decision.Options) {
			f.Chosen = n.Decision.Options[i-1]
		}
	}
	return f
}
