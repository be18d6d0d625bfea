package column_test

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/graphtest"
)

// TestTable runs the cases of all evaluators three ways: with nothing varying,
// with every typed number given per draw, and with half of them.
func TestTable(t *testing.T) {
	t.Parallel()
	for _, c := range graphtest.Cases() {
		if c.Precise {
			continue
		}
		t.Run(c.Name, func(t *testing.T) {
			t.Parallel()
			g, out, err := c.Graph()
			if err != nil {
				t.Fatal(err)
			}
			typed := typedNodes(g)
			half := func(odd int) (some []graph.ID) {
				for i, id := range typed {
					if i%2 == odd {
						some = append(some, id)
					}
				}
				return some
			}
			for _, vary := range [][]graph.ID{nil, typed, half(0), half(1)} {
				checkCase(t, g, vary, out, c.Want)
			}
		})
	}
}

func typedNodes(g *graph.Graph) (ids []graph.ID) {
	for id := range graph.ID(g.Len()) {
		if op := g.Node(id).Op; op == graph.Constant || op == graph.Range {
			ids = append(ids, id)
		}
	}
	return ids
}

func checkCase(t *testing.T, g *graph.Graph, vary, out []graph.ID, wants []string) {
	t.Helper()
	const draws = 3
	p, err := column.New(g, column.Options{Vary: vary, Outputs: out})
	if err != nil {
		t.Fatal(err)
	}
	c := p.Columns()
	for i, id := range vary {
		v := g.Node(id).Value.InexactFloat64()
		for k := range draws {
			c.In(i)[k] = v
		}
	}
	if err := c.Run(draws); err != nil {
		t.Fatal(err)
	}
	for i, want := range wants {
		for k, got := range c.Out(i)[:draws] {
			if want == graphtest.Undefined {
				if !math.IsNaN(got) {
					t.Errorf("%d varied, output %d of draw %d is %v, want none", len(vary), i, k, got)
				}
				continue
			}
			w := decimal.RequireFromString(want).InexactFloat64()
			if math.IsNaN(got) || math.Abs(got-w) > 1e-12*math.Max(1, math.Abs(w)) {
				t.Errorf("%d varied, output %d of draw %d is %v, want %v", len(vary), i, k, got, w)
			}
		}
	}
}
