package column_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// demoDay is a day on which everything in the demo book is valid.
const demoDay = "2026-11-25"

// demoTrim builds the estimate of a trim of the demo book.
func demoTrim(t testing.TB, trim bom.ID, quantity int64) *estimate.Estimate {
	t.Helper()
	est, err := estimate.Build(booktest.Demo(t), estimate.NewMix("LAMP", decimal.New(quantity, 0), trim), demoDay)
	if err != nil {
		t.Fatal(err)
	}
	return est
}

func rangesOf(g *graph.Graph) (ids []graph.ID) {
	for id := range graph.ID(g.Len()) {
		if g.Node(id).Op == graph.Range {
			ids = append(ids, id)
		}
	}
	return ids
}

// TestDemo compares every figure of every trim of the demo book at several
// quantities, with every range at its low, likely and high, all together and one
// by one.
func TestDemo(t *testing.T) {
	t.Parallel()
	for _, trim := range []bom.ID{"plain", "glow", "tune"} {
		t.Run(string(trim), func(t *testing.T) {
			t.Parallel()
			est := demoTrim(t, trim, 100)
			g := est.Graph
			vary := append(rangesOf(g), est.Variants[0].Quantity)
			draws := demoDraws(g, vary)
			compareDraws(t, g, vary, everyNode(g), draws)
			compareDraws(t, g, vary, []graph.ID{est.Variants[0].Full, est.Variants[0].Production}, draws)
			compareDraws(t, g, vary[:len(vary)-1], []graph.ID{est.Variants[0].Full}, draws[:3])
		})
	}
}

// demoDraws gives pins: all ranges low, likely or high at four quantities, and
// each alone at its low and high; of the first three, the quantity is the one the
// graph was built with.
func demoDraws(g *graph.Graph, vary []graph.ID) (draws []exact.Pins) {
	add := func(quantity int64, at func(n graph.Node, i int) decimal.Decimal) {
		pins := exact.Pins{}
		for i, id := range vary {
			if n := g.Node(id); n.Op == graph.Range {
				pins[id] = at(n, i)
			} else {
				pins[id] = decimal.New(quantity, 0)
			}
		}
		draws = append(draws, pins)
	}
	for _, q := range []int64{100, 50, 250, 500} {
		add(q, func(n graph.Node, _ int) decimal.Decimal { return n.Low })
		add(q, func(n graph.Node, _ int) decimal.Decimal { return n.Value })
		add(q, func(n graph.Node, _ int) decimal.Decimal { return n.High })
	}
	for alone := range vary {
		for _, high := range []bool{false, true} {
			add(200, func(n graph.Node, i int) decimal.Decimal {
				switch {
				case i != alone:
					return n.Value
				case high:
					return n.High
				}
				return n.Low
			})
		}
	}
	return draws
}

func compareDraws(t *testing.T, g *graph.Graph, vary, outputs []graph.ID, draws []exact.Pins) {
	t.Helper()
	p, err := column.New(g, column.Options{Vary: vary, Outputs: outputs})
	if err != nil {
		t.Fatal(err)
	}
	c := p.Columns()
	for k, pins := range draws {
		for i, id := range vary {
			c.In(i)[k] = pins[id].InexactFloat64()
		}
	}
	if err := c.Run(len(draws)); err != nil {
		t.Fatal(err)
	}
	for k, pins := range draws {
		j, err := newJudge(g, pins)
		if err != nil {
			t.Fatal(err)
		}
		for i, id := range outputs {
			if got := c.Out(i)[k]; !j.agrees(id, got) {
				n := g.Node(id)
				t.Errorf("draw %d: %s (%s) is %v, exactly %v", k, n.Key, n.Op, got, j.values[id])
			}
		}
	}
}
