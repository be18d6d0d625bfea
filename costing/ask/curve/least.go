package curve

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Least is the quantity of a range at which the figure is least.
type Least struct {
	Quantity int64 // the smallest, if several are as good
	Value    decimal.Decimal
	// Below and Above are the neighbours, no better; nil outside the range.
	Below, Above *decimal.Decimal
}

// Least gives the quantity of the range at which the figure is least, by the ninth
// place. The curve leads to the candidates, the exact evaluator decides.
func (c *Curve) Least(ctx context.Context) (Least, error) {
	var out Least
	values := c.Values
	if c.Flat {
		values = values[:1]
	}
	least := slices.Min(values)
	for i, v := range values {
		if v-least > 2/snapUnit+blur(v)+blur(least) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return Least{}, err
		}
		d, err := c.At(c.From + int64(i))
		if err != nil {
			return Least{}, err
		}
		if out.Quantity == 0 || order(d, out.Value) < 0 {
			out.Quantity, out.Value = c.From+int64(i), d
		}
	}
	var err error
	if out.Below, err = c.neighbour(out.Quantity - 1); err != nil {
		return Least{}, err
	}
	out.Above, err = c.neighbour(out.Quantity + 1)
	return out, err
}

// Settles gives the smallest quantity from which on a further doubling, as far as the
// range goes, saves less than a share of the figure; nil where it has none.
func (c *Curve) Settles(share float64) (*Point, error) {
	at := int64(0)
	for q := c.To / 2; q >= c.From && !c.Flat; q-- {
		if here := c.Values[q-c.From]; here-c.Values[2*q-c.From] >= share*here {
			break
		}
		at = q
	}
	if at == 0 {
		return nil, nil
	}
	d, err := c.At(at)
	return &Point{at, d}, err
}

func (c *Curve) neighbour(quantity int64) (*decimal.Decimal, error) {
	if quantity < c.From || quantity > c.To {
		return nil, nil
	}
	d, err := c.At(quantity)
	return &d, err
}

// order compares as the graph does: by the ninth place.
func order(a, b decimal.Decimal) int {
	return a.Round(graph.SnapPlaces).Cmp(b.Round(graph.SnapPlaces))
}
