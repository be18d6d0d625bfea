package curve

import (
	"context"
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Least is the quantity of a range at which a figure is least.
type Least struct {
	Quantity int64 // the smallest, if several are as good
	Value    decimal.Decimal
	// Below and Above are the neighbours, no better; nil outside the range asked.
	Below, Above *decimal.Decimal
	// Flat says that the figure does not rest on the quantity.
	Flat bool
}

// Least gives the quantity from from to to at which a figure is least, by the
// ninth place. The curve leads to the candidates, the exact evaluator decides.
func (c *Curve) Least(ctx context.Context, figure int, from, to int64) (Least, error) {
	if err := c.checkSpan(figure, from, to); err != nil {
		return Least{}, err
	}
	out := Least{Quantity: from, Flat: c.Figures[figure].Flat}
	last := to
	if out.Flat {
		last = from
	}
	values := c.Values[figure]
	least := math.Inf(1)
	for q := from; q <= last; q++ {
		least = math.Min(least, values[q-c.From])
	}
	found := false
	for q := from; q <= last; q++ {
		v := values[q-c.From]
		if v-least > 2/snapUnit+blur(v)+blur(least) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return Least{}, err
		}
		d, err := c.exact(figure, q)
		if err != nil {
			return Least{}, err
		}
		if !found || order(d, out.Value) < 0 {
			found, out.Quantity, out.Value = true, q, d
		}
	}
	return out, c.neighbours(&out, figure, from, to)
}

func (c *Curve) checkSpan(figure int, from, to int64) error {
	switch {
	case figure < 0 || figure >= len(c.Figures):
		return &RequestError{"figure", fmt.Sprintf("the curve has no figure %d", figure), "give its place in the request"}
	case from > to:
		return &RequestError{"to", fmt.Sprintf("the range ends at %d, before it starts at %d", to, from), "give the smaller quantity first"}
	}
	if err := c.within("from", from); err != nil {
		return err
	}
	return c.within("to", to)
}

func (c *Curve) neighbours(l *Least, figure int, from, to int64) error {
	for _, n := range []struct {
		q  int64
		to **decimal.Decimal
	}{{l.Quantity - 1, &l.Below}, {l.Quantity + 1, &l.Above}} {
		if n.q < from || n.q > to {
			continue
		}
		d, err := c.exact(figure, n.q)
		if err != nil {
			return err
		}
		*n.to = &d
	}
	return nil
}

// exact gives one figure at one quantity.
func (c *Curve) exact(figure int, quantity int64) (decimal.Decimal, error) {
	p, err := c.At(quantity)
	if err != nil {
		return decimal.Decimal{}, err
	}
	return p.Values[figure], nil
}

// order compares as the graph does: by the ninth place.
func order(a, b decimal.Decimal) int {
	return a.Round(graph.SnapPlaces).Cmp(b.Round(graph.SnapPlaces))
}
