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
	// Below and Above are the neighbours, no better; nil outside the range.
	Below, Above *decimal.Decimal
	// Flat says that the figure does not rest on the quantity.
	Flat bool
}

// Least gives the quantity of the range at which a figure is least, by the ninth
// place. The curve leads to the candidates, the exact evaluator decides.
func (c *Curve) Least(ctx context.Context, figure int) (Least, error) {
	if figure < 0 || figure >= len(c.Figures) {
		return Least{}, &RequestError{"figure", fmt.Sprintf("the curve has no figure %d", figure), "give its place in the request"}
	}
	out := Least{Flat: c.Figures[figure].Flat}
	values, least := c.Values[figure], math.Inf(1)
	if out.Flat {
		values = values[:1]
	}
	for _, v := range values {
		least = math.Min(least, v)
	}
	for i, v := range values {
		if v-least > 2/snapUnit+blur(v)+blur(least) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return Least{}, err
		}
		d, err := c.exact(figure, c.From+int64(i))
		if err != nil {
			return Least{}, err
		}
		if out.Quantity == 0 || order(d, out.Value) < 0 {
			out.Quantity, out.Value = c.From+int64(i), d
		}
	}
	var err error
	if out.Below, err = c.neighbour(figure, out.Quantity-1); err != nil {
		return Least{}, err
	}
	out.Above, err = c.neighbour(figure, out.Quantity+1)
	return out, err
}

func (c *Curve) neighbour(figure int, quantity int64) (*decimal.Decimal, error) {
	if quantity < c.From || quantity > c.To {
		return nil, nil
	}
	d, err := c.exact(figure, quantity)
	return &d, err
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
