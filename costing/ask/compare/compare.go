package compare

import (
	"context"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Options bound the work. The zero value is good for everyday use.
type Options struct {
	// Few is the most changed inputs that are shared out over all subsets;
	// default 8, at most 12.
	Few int
	// Tolerance is when the shares along the way count as settled; default 0.001.
	Tolerance float64
	// Most is the most evaluations along the way; default 400,000.
	Most int
}

func (o Options) filled() (Options, error) {
	if o.Few == 0 {
		o.Few = 8
	}
	if o.Tolerance == 0 {
		o.Tolerance = 1e-3
	}
	if o.Most == 0 {
		o.Most = 400_000
	}
	switch {
	case o.Few < 0 || o.Few > mostShapley:
		return o, &OptionError{"few", "give 1 to 12 inputs"}
	case !(o.Tolerance > 0 && o.Tolerance < 1):
		return o, &OptionError{"tolerance", "give a share between 0 and 1"}
	case o.Most < 1 || o.Most > 100_000_000:
		return o, &OptionError{"most", "give 1 to 100,000,000 evaluations"}
	}
	return o, nil
}

// mostShapley inputs have 4,096 subsets.
const mostShapley = 12

// Between says why the headline after differs from the one before. The error is a
// [*MissingError], [*UndefinedError], [*UnitError], [*EvaluateError] or
// [*OptionError], or that of the context.
func Between(ctx context.Context, before, after Side, o Options) (*Result, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	b, a, err := pair(before, after)
	if err != nil {
		return nil, err
	}
	from, err := b.open()
	if err != nil {
		return nil, err
	}
	to, err := a.open()
	if err != nil {
		return nil, err
	}
	c := &comparison{before: from, after: to, options: o}
	c.match()
	return c.result(ctx)
}

// comparison is a comparison under way.
type comparison struct {
	options       Options
	before, after *opened
	// classes of both sides; figures of one class have the same structure.
	was, is []int
}

func (c *comparison) match() {
	k := kinship{classes: map[string]int{}}
	c.was, c.is = k.classesOf(c.before), k.classesOf(c.after)
}

func (c *comparison) result(ctx context.Context) (*Result, error) {
	b, a := c.before, c.after
	r := &Result{Before: b.figure(b.top), After: a.figure(a.top), Difference: difference(b.value, a.value)}
	r.Alike = c.was[b.top] == c.is[a.top]
	lines := c.lines()
	shares := make([]decimal.Decimal, len(lines))
	for i, l := range lines {
		shares[i] = l.Share
	}
	if err := settle("the headline by lines", shares, r.Difference, c.scale(), lineDigits); err != nil {
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

// lineDigits is how exact the sum of the lines must be before it is settled: what
// ten roundings to 34 digits leave, and a good margin.
const lineDigits = 25

// scale is the size of all lines of both sides together, and at least one unit.
func (c *comparison) scale() decimal.Decimal {
	all := []decimal.Decimal{c.before.value, c.after.value, decimal.New(1, 0)}
	for _, o := range []*opened{c.before, c.after} {
		for _, l := range o.lines {
			all = append(all, l.value)
		}
	}
	return size(all...)
}

// figure describes a figure of a side.
func (o *opened) figure(id graph.ID) Figure {
	n := o.g.Node(id)
	f := Figure{Key: n.Key, Of: n.Of, Label: n.Label, Unit: n.Unit, Source: n.Source}
	f.Value, _ = o.values.Raw(id)
	if n.Decision != nil {
		if i := f.Value.IntPart(); f.Value.IsInteger() && i >= 1 && int(i) <= len(n.Decision.Options) {
			f.Chosen = n.Decision.Options[i-1]
		}
	}
	return f
}
