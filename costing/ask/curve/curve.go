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
	ID    graph.ID // in the graph of the request
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

	w    *work
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
	w, err := newWork(g, r)
	if err != nil {
		return nil, err
	}
	s, err := w.scan(ctx)
	if err != nil {
		return nil, err
	}
	c := &Curve{From: r.From, To: r.To, w: w, scan: s}
	for i, id := range w.request.Figures {
		c.Figures = append(c.Figures, Figure{w.name(id), !w.moves[id]})
		c.Values = append(c.Values, s.values[i][:s.n])
	}
	if err := c.findPlaces(ctx); err != nil {
		return nil, err
	}
	c.findCounted()
	for _, q := range r.Marks {
		p, err := c.At(q)
		if err != nil {
			return nil, err
		}
		c.Marks = append(c.Marks, p)
	}
	return c, nil
}

// name names a figure in the IDs of the request; the batch cost has none there.
func (w *work) name(id graph.ID) Name {
	n := w.g.Node(id)
	out := Name{ID: graph.None, Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit}
	if int(id) < len(w.whole) {
		out.ID = w.whole[id]
	}
	return out
}

// At gives the figures at a quantity of the range, exactly.
func (c *Curve) At(quantity int64) (Point, error) {
	if err := c.within("quantity", quantity); err != nil {
		return Point{}, err
	}
	v, err := c.w.at(quantity, nil)
	if err != nil {
		return Point{}, err
	}
	p := Point{Quantity: quantity}
	for _, id := range c.w.request.Figures {
		d, err := v.Get(id)
		if err != nil {
			return Point{}, c.w.evaluation(quantity, err)
		}
		p.Values = append(p.Values, d)
	}
	return p, nil
}

func (c *Curve) within(field string, quantity int64) error {
	r := Request{From: c.From, To: c.To, Marks: []int64{quantity}}
	if r.checkMarks(nil) == nil {
		return nil
	}
	return &RequestError{field, "outside the range of the curve", "ask for a quantity of the range"}
}

// findPlaces lists the breaks.
func (c *Curve) findPlaces(ctx context.Context) error {
	h, err := c.scan.newHeld()
	if err != nil {
		return err
	}
	next, err := h.next(ctx)
	if err != nil {
		return err
	}
	after, err := h.afterNext(ctx)
	if err != nil {
		return err
	}
	batch := len(c.scan.values) - 1
	touches := func(f, i int) bool {
		return apart(c.scan.values[f][i+1], next[f][i]) || i < len(after[f]) && apart(next[f][i+1], after[f][i])
	}
	for _, i := range h.turns() {
		p := Place{UpTo: c.scan.quantity(i), size: c.scan.values[batch][i+1] - next[batch][i]}
		for f := range c.Figures {
			if touches(f, i) {
				p.Touches = append(p.Touches, f)
			}
		}
		if len(p.Touches) > 0 || touches(batch, i) {
			c.Places = append(c.Places, p)
		}
	}
	return nil
}

// turns lists the places within the range where a held step turns.
func (h *held) turns() []int {
	at := make([]bool, h.s.n)
	for _, i := range h.steps {
		for _, t := range h.s.turns[i] {
			if int(t) < h.s.n-1 && h.s.breaks[i][t] {
				at[t] = true
			}
		}
	}
	var out []int
	for i, turned := range at {
		if turned {
			out = append(out, i)
		}
	}
	return out
}

func (c *Curve) findCounted() {
	for i, grain := range c.scan.grain {
		if changes := countBelow(grain, c.scan.n-1); changes > 0 {
			c.Counted = append(c.Counted, Counted{c.w.name(c.w.steps[i].node), changes})
		}
	}
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
	var out []Run
	grain, from := c.grain(figure), c.From
	add := func(to int64) {
		out = append(out, Run{from, to, grain(int(from-c.From), int(to-c.From))})
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

// grain tells whether something that is counted piece by piece changes between
// two places, for a figure.
func (c *Curve) grain(figure int) func(from, to int) bool {
	below := c.w.below(c.w.g, c.w.request.Figures[figure])
	var turns [][]int32
	for i, grain := range c.scan.grain {
		if len(grain) > 0 && below[c.w.steps[i].node] {
			turns = append(turns, grain)
		}
	}
	return func(from, to int) bool {
		return slices.ContainsFunc(turns, func(t []int32) bool { return countBelow(t, to) > countBelow(t, from) })
	}
}
