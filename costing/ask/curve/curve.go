package curve

import (
	"context"
	"slices"
	"sort"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Name says which figure something is about, for people and for proofs.
type Name struct {
	Key   string
	Label string // "pieces of stock needed"
	Of    string // "heat sink"
	Unit  graph.Unit
}

// Curve holds a figure at every quantity of a range. It does not change.
type Curve struct {
	From, To int64
	Figure   Name
	// Flat says that the figure does not rest on the quantity.
	Flat bool
	// Values are the figure at the quantities from From, in binary numbers: for
	// drawing.
	Values []float64
	Marks  []Point
	// Places are the breaks, by quantity.
	Places []Place
	// Counted are the steps counted piece by piece.
	Counted []Count

	m    *model
	scan *scan
}

// Point is the figure at one quantity, exactly.
type Point struct {
	Quantity int64
	Value    decimal.Decimal
}

// Place is where something steps: what is below goes up to and including UpTo,
// what is above begins with the next quantity.
type Place struct {
	UpTo int64
	size float64 // of the step of the batch cost
}

// Count is a step that is counted piece by piece, and how often it changes
// within the range.
type Count struct {
	Name
	Changes int
}

// Sweep evaluates a figure over a range of quantities. The error is a
// [*RequestError], a [*QuantityError], or that of the context.
func Sweep(ctx context.Context, g *graph.Graph, r Request) (*Curve, error) {
	m, err := newModel(g, r)
	if err != nil {
		return nil, err
	}
	s, err := m.scan(ctx)
	if err != nil {
		return nil, err
	}
	figure := m.request.Figure
	c := &Curve{From: r.From, To: r.To, Figure: m.name(figure), Flat: !m.moves[figure], Values: s.values[ofFigure][:s.n], m: m, scan: s}
	if err := c.findPlaces(ctx); err != nil {
		return nil, err
	}
	for i, grain := range s.grain {
		if changes := countBelow(grain, s.n-1); changes > 0 {
			c.Counted = append(c.Counted, Count{m.name(m.steps[i].node), changes})
		}
	}
	for _, q := range r.Marks {
		v, err := c.At(q)
		if err != nil {
			return nil, err
		}
		c.Marks = append(c.Marks, Point{q, v})
	}
	return c, nil
}

// findPlaces lists the breaks: where a step turns, and the figure is not what it
// would be had no step turned, at the first or at the second quantity after it.
func (c *Curve) findPlaces(ctx context.Context) error {
	s := c.scan
	r, err := s.rerun()
	if err != nil {
		return err
	}
	next, err := r.values(ctx, 1)
	if err != nil {
		return err
	}
	after, err := r.values(ctx, 2)
	if err != nil {
		return err
	}
	free, held, later := s.values[ofFigure], next[ofFigure], after[ofFigure]
	for i := range s.n - 1 {
		turns := slices.ContainsFunc(r.steps, func(k int) bool { return s.breaks[k][i] })
		if turns && (apart(free[i+1], held[i]) || i < len(later) && apart(held[i+1], later[i])) {
			c.Places = append(c.Places, Place{UpTo: s.quantity(i), size: s.values[ofBatch][i+1] - next[ofBatch][i]})
		}
	}
	return nil
}

// At gives the figure at a quantity, exactly.
func (c *Curve) At(quantity int64) (decimal.Decimal, error) {
	v, err := c.m.at(quantity)
	if err != nil {
		return decimal.Decimal{}, err
	}
	d, err := v.Get(c.m.request.Figure)
	if err != nil {
		err = evaluation(quantity, err)
	}
	return d, err
}

func countBelow(turns []int32, limit int) int {
	return sort.Search(len(turns), func(k int) bool { return int(turns[k]) >= limit })
}

// Run is a stretch of quantities without a break.
type Run struct {
	From, To int64
	// Counted says that something is counted piece by piece within: the stretch
	// is drawn point by point and not as a line.
	Counted bool
}

// Runs gives the stretches between the breaks: each is drawn by itself, never
// across a break.
func (c *Curve) Runs() []Run {
	below := c.m.below(c.m.g, c.m.request.Figure)
	var out []Run
	from := c.From
	add := func(to int64) {
		counted := false
		for i, grain := range c.scan.grain {
			counted = counted || below[c.m.steps[i].node] && countBelow(grain, int(to-c.From)) > countBelow(grain, int(from-c.From))
		}
		out = append(out, Run{from, to, counted})
		from = to + 1
	}
	for _, p := range c.Places {
		add(p.UpTo)
	}
	add(c.To)
	return out
}
