package curve

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"github.com/shopspring/decimal"
)

// Advice says how many to make of about as many as are asked for.
type Advice struct {
	Asked int64
	// Step is the place within a tenth of the quantity asked for at which one piece
	// more costs most.
	Step Added
	// Rises says that it costs more than one of the pieces before it, so that it is
	// better left: the cost of each rises.
	Rises bool
	// Good is the quantity above that, up to twice what is asked for, at which each
	// costs least before a step up; nil where none costs less than what is advised.
	Good *Point
	// Matter are the places of the range at which one piece more costs most and raises
	// the cost of each, in order of the quantity, with that of the advice.
	Matter []Added
}

// Make is how many to make: up to the step, or as many as are asked for.
func (a *Advice) Make() int64 {
	if a.Rises {
		return a.Step.UpTo
	}
	return a.Asked
}

// Added is what one piece more costs: the batch of UpTo + 1 less the batch of UpTo.
type Added struct {
	Break
	Costs decimal.Decimal
	Batch decimal.Decimal // of UpTo pieces
	Each  decimal.Decimal // of UpTo pieces
	// Main are the causes that stand for a tenth of it and more, the largest first.
	Main []Step
}

// near is a tenth of a quantity on either side.
const near = 10

// Near gives the quantities within a tenth of one.
func Near(asked int64) (from, to int64) { return asked - asked/near, asked + asked/near }

// Advise reads the advice for a quantity off a curve that reaches a tenth of it to both
// sides, and one piece on; without, it is nil. matter is how many places are told.
func (c *Curve) Advise(ctx context.Context, asked int64, matter int) (*Advice, error) {
	from, to := Near(asked)
	if asked < 1 || from < c.From || to+1 > c.To {
		return nil, nil
	}
	out := &Advice{Asked: asked}
	at, err := c.largest(from, to, asked)
	if err != nil {
		return nil, err
	}
	out.Step, err = c.added(ctx, at)
	if err != nil {
		return nil, err
	}
	out.Rises = out.Step.Costs.GreaterThan(out.Step.Each)
	if out.Good, err = c.good(out.Make(), min(2*asked, c.To-1)); err != nil {
		return nil, err
	}
	rising := slices.DeleteFunc(c.rising(c.From, c.To-1), func(q int64) bool { return q == at })
	slices.SortStableFunc(rising, func(a, b int64) int { return cmp.Compare(c.adds(b), c.adds(a)) })
	if out.Rises {
		matter--
		out.Matter = append(out.Matter, out.Step)
	}
	for _, q := range rising[:min(matter, len(rising))] {
		one, err := c.added(ctx, q)
		if err != nil {
			return nil, err
		}
		out.Matter = append(out.Matter, one)
	}
	slices.SortFunc(out.Matter, func(a, b Added) int { return cmp.Compare(a.UpTo, b.UpTo) })
	return out, nil
}

// batch is what a batch costs, in binary numbers.
func (c *Curve) batch(quantity int64) float64 { return c.scan.values[ofBatch][quantity-c.From] }

// adds is what one piece more than a quantity costs, in binary numbers.
func (c *Curve) adds(quantity int64) float64 { return c.batch(quantity+1) - c.batch(quantity) }

// rising lists the places at which one piece more raises the cost of each.
func (c *Curve) rising(from, to int64) []int64 {
	var out []int64
	for _, p := range c.Places {
		if p.UpTo >= from && p.UpTo <= to && c.adds(p.UpTo)*float64(p.UpTo) > c.batch(p.UpTo) {
			out = append(out, p.UpTo)
		}
	}
	return out
}

// largest finds the quantity to which one more costs most; of several, the one nearest to
// what is asked for. The curve leads to the candidates, the exact evaluator decides.
func (c *Curve) largest(from, to, asked int64) (int64, error) {
	most := math.Inf(-1)
	for q := from; q <= to; q++ {
		most = max(most, c.adds(q))
	}
	best, found := decimal.Decimal{}, int64(0)
	for q := from; q <= to; q++ {
		if most-c.adds(q) > 2/snapUnit+2*blur(c.batch(q+1)) {
			continue
		}
		d, err := c.costs(q)
		if err != nil {
			return 0, err
		}
		if found == 0 || order(d, best) > 0 || order(d, best) == 0 && apartFrom(q, asked) < apartFrom(found, asked) {
			best, found = d, q
		}
	}
	return found, nil
}

func apartFrom(a, b int64) int64 { return max(a-b, b-a) }

// costs is what one piece more than a quantity costs, exactly.
func (c *Curve) costs(quantity int64) (decimal.Decimal, error) {
	more, err := c.m.at(quantity + 1)
	if err != nil {
		return decimal.Decimal{}, err
	}
	with, err := more.Get(c.m.drawn[ofBatch])
	if err != nil {
		return decimal.Decimal{}, evaluation(quantity+1, err)
	}
	pins := maps.Clone(c.m.request.Hold)
	pins[c.m.request.Quantity], pins[c.m.with] = decimal.New(quantity, 0), with
	here, err := c.m.e.Evaluate(pins)
	if err != nil {
		return decimal.Decimal{}, evaluation(quantity, err)
	}
	return here.Get(c.m.effect)
}

// added says what one piece more than a quantity costs, and why.
func (c *Curve) added(ctx context.Context, quantity int64) (Added, error) {
	out := Added{Break: Break{UpTo: quantity, From: quantity + 1}}
	if slices.ContainsFunc(c.Places, func(p Place) bool { return p.UpTo == quantity }) {
		breaks, err := c.breaksAt(ctx, []Place{{UpTo: quantity}})
		if err != nil {
			return out, err
		}
		out.Break = breaks[0]
	}
	var err error
	if out.Costs, err = c.costs(quantity); err != nil {
		return out, err
	}
	for _, s := range out.Causes {
		if s.Effect != nil && s.Effect.Abs().Shift(1).GreaterThanOrEqual(out.Costs) {
			out.Main = append(out.Main, s)
		}
	}
	slices.SortStableFunc(out.Main, func(a, b Step) int { return b.Effect.Abs().Cmp(a.Effect.Abs()) })
	v, err := c.m.at(quantity)
	if err != nil {
		return out, err
	}
	if out.Batch, err = v.Get(c.m.drawn[ofBatch]); err == nil {
		out.Each, err = v.Get(c.m.request.Full)
	}
	return out, err
}

// good finds the place up to a quantity at which each costs least, and less than at
// another quantity.
func (c *Curve) good(than, to int64) (*Point, error) {
	each := func(q int64) float64 { return c.batch(q) / float64(q) }
	best := than
	for _, q := range c.rising(than+1, to) {
		if each(q) < each(best) {
			best = q
		}
	}
	if best == than {
		return nil, nil
	}
	v, err := c.m.at(best)
	if err != nil {
		return nil, err
	}
	value, err := v.Get(c.m.request.Full)
	return &Point{best, value}, err
}
