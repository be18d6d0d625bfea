package column_test

import (
	"errors"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// order is a small graph: pieces with a decision for 10 to 20 of them, and what
// they cost.
type order struct {
	g                                  *graph.Graph
	pieces, pattern, each, cost, spare graph.ID
}

func newOrder(t *testing.T) order {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	var o order
	o.pieces = s.Input("pieces", "pieces", graph.Piece, dec("12"))
	o.each = s.Range("each", "cost of one piece", graph.Plain, dec("4"), dec("5"), dec("7"))
	o.pattern = s.Decided("pattern", "cutting pattern", graph.Plain, dec("3"), graph.Choice{Solver: "pattern", Rule: "most",
		Valid: []graph.Window{{Input: o.pieces, Low: dec("10"), High: dec("20")}}})
	o.cost = s.Multiply("cost", "cost", o.pieces, o.each, o.pattern)
	o.spare = s.Input("spare", "a number nothing rests on", graph.Plain, dec("1"))
	g := graphtest.Built(t, b)
	o.g = g
	return o
}

func (o order) plan(t *testing.T, opt column.Options) *column.Plan {
	t.Helper()
	p, err := column.New(o.g, opt)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestDecisions(t *testing.T) {
	t.Parallel()
	o := newOrder(t)
	out := []graph.ID{o.cost, o.pattern}
	c := o.plan(t, column.Options{Vary: []graph.ID{o.pieces}, Outputs: out}).Columns()
	copy(c.In(0), []float64{10, 20, math.NaN(), 20.0000000000001, 21})
	if err := c.Run(4); err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{150, 300, math.NaN(), 300} {
		if got := c.Out(0)[k]; math.Abs(got-want) > 1e-9 || math.IsNaN(got) != math.IsNaN(want) {
			t.Errorf("draw %d costs %v, want %v", k, got, want)
		}
	}
	err := c.Run(5)
	var outside *column.OutsideDecisionError
	if !errors.As(err, &outside) || outside.Key != "pattern" || outside.Input != "pieces" || !outside.Value.Equal(dec("21")) {
		t.Errorf("21 pieces: %v", err)
	}
	_, err = column.New(o.g, column.Options{Outputs: out, Hold: map[graph.ID]float64{o.pieces: 25}})
	if !errors.As(err, &outside) {
		t.Errorf("25 pieces held: %v", err)
	}
	// A decision that is held, or on which nothing wanted rests, is not asked.
	for name, opt := range map[string]column.Options{
		"decision held": {Vary: []graph.ID{o.pieces}, Outputs: out, Hold: map[graph.ID]float64{o.pattern: 3}},
		"not wanted":    {Vary: []graph.ID{o.pieces}, Outputs: []graph.ID{o.each, o.pieces}},
	} {
		c := o.plan(t, opt).Columns()
		c.In(0)[0] = 21
		if err := c.Run(1); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := column.New(o.g, column.Options{Outputs: []graph.ID{o.each}, Hold: map[graph.ID]float64{o.pieces: 25}}); err != nil {
		t.Errorf("25 pieces held, pattern not wanted: %v", err)
	}
}

func TestVaries(t *testing.T) {
	t.Parallel()
	o := newOrder(t)
	p := o.plan(t, column.Options{Vary: []graph.ID{o.each, o.spare}, Outputs: []graph.ID{o.cost, o.pattern, o.each, o.spare}})
	for i, want := range []bool{true, false, true, true} {
		if p.Varies(i) != want {
			t.Errorf("output %d varies %v", i, !want)
		}
	}
	c := p.Columns()
	outside := []float64{1, 2, 3}
	c.Bind(0, outside)
	if err := c.Run(3); err != nil {
		t.Fatal(err)
	}
	for k, v := range outside {
		if c.Out(0)[k] != 36*v || c.Out(1)[k] != 3 || c.Out(2)[k] != v {
			t.Errorf("draw %d is %v, %v, %v", k, c.Out(0)[k], c.Out(1)[k], c.Out(2)[k])
		}
	}
}

// TestOutOfRange leaves figures that no output rests on alone, however large.
func TestOutOfRange(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	x := s.Input("x", "x", graph.Plain, dec("1e40"))
	huge := s.Multiply("huge", "huge", x, x)
	sum := s.Add("sum", "sum", x, x)
	g := graphtest.Built(t, b)
	if _, err := column.New(g, column.Options{Outputs: []graph.ID{sum}}); err != nil {
		t.Error(err)
	}
	_, err := column.New(g, column.Options{Outputs: []graph.ID{huge}})
	if outside := (*exact.RangeError)(nil); !errors.As(err, &outside) {
		t.Errorf("10^80: %v", err)
	}
}

// TestRunAllocatesNothing runs a plan of every operation.
func TestRunAllocatesNothing(t *testing.T) {
	r := newTrial(5, 220)
	p, err := column.New(r.g, column.Options{Vary: r.vary, Outputs: everyNode(r.g)})
	if err != nil {
		t.Fatal(err)
	}
	c := p.Columns()
	for i, id := range r.vary {
		for k := range c.In(i) {
			c.In(i)[k] = r.g.Node(id).Value.InexactFloat64()
		}
	}
	if n := testing.AllocsPerRun(20, func() {
		if err := c.Run(column.Block); err != nil {
			t.Error(err)
		}
	}); n != 0 {
		t.Errorf("%v allocations per run", n)
	}
}

// TestDrawsStandAlone computes the same draws in runs of different lengths, bit by
// bit the same.
func TestDrawsStandAlone(t *testing.T) {
	t.Parallel()
	est := demoTrim(t, "glow", 250)
	vary := rangesOf(est.Graph)
	p, err := column.New(est.Graph, column.Options{Vary: vary, Outputs: []graph.ID{est.Variants[0].Full}})
	if err != nil {
		t.Fatal(err)
	}
	c := p.Columns()
	for i, id := range vary {
		n := est.Graph.Node(id)
		low, high := n.Low.InexactFloat64(), n.High.InexactFloat64()
		for k := range c.In(i) {
			c.In(i)[k] = low + (high-low)*math.Mod(float64(k*(2*i+3))*0.618033988749895, 1)
		}
	}
	if err := c.Run(column.Block); err != nil {
		t.Fatal(err)
	}
	whole := append([]float64(nil), c.Out(0)...)
	for _, n := range []int{1, 3, 255, 256, 257, 1000} {
		clear(c.Out(0))
		if err := c.Run(n); err != nil {
			t.Fatal(err)
		}
		for k := range n {
			if c.Out(0)[k] != whole[k] {
				t.Fatalf("draw %d of %d is %v, of %d %v", k, n, c.Out(0)[k], column.Block, whole[k])
			}
		}
	}
}

func everyNode(g *graph.Graph) []graph.ID {
	all := make([]graph.ID, g.Len())
	for i := range all {
		all[i] = graph.ID(i)
	}
	return all
}
