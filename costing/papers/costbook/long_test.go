package costbook_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/papers/recalctest"
)

// longGraph has nodes with as many arguments as a node may have, under keys so
// long that none of them fits into one formula, and the values they must have.
func longGraph(t testing.TB, scope string) (*graph.Graph, map[graph.ID]string) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().In("part", scope)
	inputs := func(name string, n int, value func(i int) int64) []graph.ID {
		out := make([]graph.ID, n)
		for i := range out {
			out[i] = s.Input(fmt.Sprintf("%s-%d", name, i+1), name, graph.Plain, decimal.New(value(i), 0))
		}
		return out
	}
	up := inputs("up", 249, func(i int) int64 { return int64(i + 1) })
	down := inputs("down", 250, func(i int) int64 { return int64(500 - 2*i) })
	ones := inputs("ones", 250, func(i int) int64 { return 1 + int64(i/249) })
	x := s.Input("x", "x", graph.Plain, decimal.New(1005, -1))
	over := s.Divide("undefined", "undefined", x, s.Zero(graph.Plain))
	open := func(x graph.ID, edges []graph.ID) graph.Axis {
		return graph.Axis{X: x, Edges: edges, Bands: graph.Bands{BelowClosed: make([]bool, len(edges))}}
	}
	holes := append([]graph.ID(nil), up[:124]...)
	holes[7], holes[120] = over, over
	want := map[graph.ID]string{
		s.Add("add", "sum", up...):                                   "31125",
		s.Multiply("multiply", "product", ones...):                   "2",
		s.SumProducts("sum-products", "products", down...):           "10479000",
		s.Minimum("minimum", "minimum", down...):                     "2",
		s.Maximum("maximum", "maximum", down...):                     "500",
		s.Least("least", "least", down...):                           "250",
		s.At("at", "at", s.Whole("index", "index", x), up...):        "101",
		s.At("at-small", "at", up[29], up[:30]...):                   "30",
		s.At("at-past", "at past the end", up[200], up[:200]...):     "undefined",
		s.Band("band", "band", open(x, up[:124]), down[:125]...):     "300",
		s.Band("holes", "holes", open(up[1], up[:123]), holes...):    "3",
		s.Band("hole", "hole", open(up[6], up[:123]), holes...):      "undefined",
		s.Add("add-hole", "sum with a hole", append(up, over)[:]...): "undefined",
	}
	row, column := open(up[4], up[:13]), open(up[9], up[:13])
	want[s.Band2("band2", "two ways", row, column, up[:196]...)] = "81"
	g := graphtest.Built(t, b)
	return g, want
}

func TestLongListsRecalculate(t *testing.T) {
	t.Parallel()
	short, want := longGraph(t, "A")
	long, _ := longGraph(t, strings.Repeat("long-", 34)) // the same nodes in the same order
	for i, got := range recalctest.Graphs(t, short, long) {
		for id, text := range want {
			agree(t, fmt.Sprintf("graph %d, %s", i, short.Node(id).Key), got[id], text)
		}
	}
}
