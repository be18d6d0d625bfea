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

// Figure is one figure of a curve.
type Figure struct {
	Name
	// Flat says that the figure does not rest on the quantity.
	Flat bool
}

// Curve holds figures at every quantity of a range. It does not change.
type Curve struct {
	From, To int64
	Figures  []Figure
	// Values are the figures, then the quantities from From, in binary numbers:
	// for drawing.
	Values [][]float64
	Marks  []Point
	// Places are the breaks, by quantity.
	Places []Place
	// Counted are the steps counted piece by piece.
	Counted []Counted

	m    *model
	scan *scan
}

// Point is the figures at one quantity, exactly.
type Point struct {
	Quantity int64
	Values   []decimal.Decimal // per figure
}

// Place is where something steps: what is below goes up to and including UpTo,
// what is above begins with the next quantity.
type Place struct {
	UpTo    int64
	Touches []int   // the figures that step or bend
	size    float64 // of the step of the batch cost
}

// Counted is a step that is counted piece by piece, and how often it changes
// within the range.
type Counted struct {
	Name
	Changes int
}

// Sweep evaluates figures over a range of quantities. The error is a
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
	c := &Curve{From: r.From, To: r.To, m: m, scan: s}
	for f, id := range m.request.Figures {
		c.Figures = append(c.Figures, Figure{m.name(id), !m.moves[id]})
		c.Values = append(c.Values, s.values[f][:s.n])
	}
	if err := c.findPlaces(ctx); err != nil {
		return nil, err
	}
	for i, grain := range s.grain {
		if changes := countBelow(grain, s.n-1); changes > 0 {
			c.Counted = append(c.Counted, Counted{m.name(m.steps[i].node), changes})
		}
	}
	for _, q := range r.Marks {
		p, err := c.At(q)
		if err != nil {
			return nil, err
		}
		c.Marks = append(c.Marks, p)
	}
	return c, nil
}

// findPlaces lists the breaks: where a step turns, and a figure is not what it
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
	touches := func(f, i int) bool {
		return apart(s.values[f][i+1], next[f][i]) || i < len(after[f]) && apart(next[f][i+1], after[f][i])
	}
	last := len(s.values) - 1 // the batch cost
	for i := range s.n - 1 {
		if !slices.ContainsFunc(r.steps, func(k int) bool { return s.breaks[k][i] }) {
			continue
		}
		p := Place{UpTo: s.quantity(i), size: s.values[last][i+1] - next[last][i]}
		for f := range c.Figures {
			if touches(f, i) {
				p.Touches = append(p.Touches, f)
			}
		}
		if len(p.Touches) > 0 || touches(last, i) {
			c.Places = append(c.Places, p)
		}
	}
	return nil
}

// At gives the figures at a quantity of the range, exactly.
func (c *Curve) At(quantity int64) (Point, error) {
	if quantity < c.From || quantity > c.To {
		return Point{}, &RequestError{"quantity", "outside the range of the curve", "ask for a quantity of the range"}
	}
	v, err := c.m.at(quantity, nil)
	if err != nil {
		return Point{}, err
	}
	p := Point{Quantity: quantity}
	for _, id := range c.m.request.Figures {
		d, err := v.Get(id)
		if err != nil {
			return Point{}, evaluation(quantity, err)
		}
		p.Values = append(p.Values, d)
	}
	return p, nil
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

// Runs gives the stretches of a figure between its breaks: each is drawn by
// itself, never across a break.
func (c *Curve) Runs(figure int) []Run {
	if figure < 0 || figure >= len(c.Figures) {
		return nil
	}
	below := c.m.below(c.m.g, c.m.request.Figures[figure])
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
		if slices.Contains(p.Touches, figure) {
			add(p.UpTo)
		}
	}
	add(c.To)
	return out
}
